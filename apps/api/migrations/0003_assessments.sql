-- What the pictures of a clip themselves say: one row a clip, made anew when its view is named or the methods change.
-- It goes where its clip goes: opened to the reading group with it, by the trigger below.
create table assessments (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid,
  clip_id uuid not null,
  engine text not null,
  view text,
  result jsonb not null,
  made_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  unique (practice_id, clip_id),
  foreign key (practice_id, clip_id) references clips (practice_id, id)
);
create index assessments_group on assessments (group_id);
alter table assessments enable row level security;
alter table assessments force row level security;
create policy tenant on assessments using (practice_id = any (my_orgs()) or group_id = any (my_orgs()))
  with check (practice_id = any (my_orgs()) or group_id = any (my_orgs()));
grant select on assessments to chordae_app, chordae_worker;
grant insert, update on assessments to chordae_worker;
grant update (group_id) on assessments to chordae_app;

create function assessment_follows_clip() returns trigger language plpgsql set search_path = public as $$
begin
  update assessments set group_id = new.group_id where practice_id = new.practice_id and clip_id = new.id;
  return null;
end $$;
create trigger clips_take_assessment after update of group_id on clips for each row
  when (old.group_id is distinct from new.group_id) execute function assessment_follows_clip();
