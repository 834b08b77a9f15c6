-- The reading desk: statements about clips, hand over, second reads, phrases, the thread, outcomes, released keeper pages,
-- keys of a person, and what a lead sets for a group.

create table clip_statements (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid,
  clip_id uuid not null,
  referral_id uuid not null,
  statement jsonb not null,
  side text not null check (side in ('sender', 'reader')),
  made_by uuid not null,
  made_by_name text not null,
  made_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  foreign key (practice_id, clip_id) references clips (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create index clip_statements_referral on clip_statements (practice_id, referral_id, made_at);
create index clip_statements_group on clip_statements (group_id);
create function statements_follow_clip() returns trigger language plpgsql set search_path = public as $$
begin
  update clip_statements set group_id = new.group_id where practice_id = new.practice_id and clip_id = new.id;
  return null;
end $$;
create trigger clips_take_statements after update of group_id on clips for each row
  when (old.group_id is distinct from new.group_id) execute function statements_follow_clip();

-- Second reads belong to the group alone, as drafts do. What a member may see of them is decided above the rows.
create table second_reads (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid not null,
  referral_id uuid not null,
  member_id uuid not null,
  member_name text not null,
  fields jsonb not null,
  revision integer not null default 1,
  field_revisions jsonb not null default '{}',
  started_at timestamptz not null default app_now(),
  signed_at timestamptz,
  primary key (practice_id, id),
  unique (practice_id, referral_id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create index second_reads_group on second_reads (group_id);
create function second_read_frozen() returns trigger language plpgsql as $$
begin
  if old.signed_at is not null then raise exception 'a signed second read is not changed' using errcode = 'check_violation'; end if;
  return new;
end $$;
create trigger second_reads_frozen before update on second_reads for each row execute function second_read_frozen();

create table phrases (
  group_id uuid not null references reading_groups (id),
  id uuid not null,
  place text not null,
  text text not null,
  retired boolean not null default false,
  made_by uuid not null,
  made_by_name text not null,
  updated_at timestamptz not null default app_now(),
  primary key (group_id, id)
);

create table messages (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid not null,
  referral_id uuid not null,
  side text not null check (side in ('practice', 'group')),
  text text not null,
  made_by uuid not null,
  made_by_name text not null,
  made_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create index messages_referral on messages (practice_id, referral_id, made_at);
create index messages_group on messages (group_id);

create table outcomes (
  practice_id uuid not null,
  referral_id uuid not null,
  group_id uuid not null,
  answer text not null,
  words text not null default '',
  made_by uuid not null,
  made_by_name text not null,
  made_at timestamptz not null default app_now(),
  primary key (practice_id, referral_id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create index outcomes_group on outcomes (group_id);

create table keeper_releases (
  practice_id uuid not null,
  signed_id uuid not null,
  group_id uuid not null,
  released_by uuid not null,
  released_by_name text not null,
  released_at timestamptz not null default app_now(),
  primary key (practice_id, signed_id),
  foreign key (practice_id, signed_id) references signed_opinions (practice_id, id)
);
create index keeper_releases_group on keeper_releases (group_id);

create table desk_settings (
  member_id uuid primary key references members (id),
  settings jsonb not null,
  updated_at timestamptz not null default app_now()
);

alter table reading_groups add column settings jsonb not null default '{"schema":1,"secondReadPercent":0,"marksOff":[]}';
alter table referrals add column second_read_wanted boolean not null default false;
alter table referrals add column handed_to uuid;
alter table referrals add column handed_to_name text;
alter table referrals add column handed_by_name text;
alter table referrals add column hand_over_reason text;

do $$
declare t text;
begin
  foreach t in array array['clip_statements','messages','outcomes','keeper_releases'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy tenant on %I using (practice_id = any (my_orgs()) or group_id = any (my_orgs()))
                    with check (practice_id = any (my_orgs()) or group_id = any (my_orgs()))', t);
  end loop;
  foreach t in array array['second_reads','phrases'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy group_only on %I using (group_id = any (my_orgs()))
                    with check (group_id = any (my_orgs()))', t);
  end loop;
end $$;
alter table desk_settings enable row level security;
alter table desk_settings force row level security;
create policy mine on desk_settings using (member_id = my_member()) with check (member_id = my_member());

-- Statements, messages, outcomes and releases are only added; the clip's trigger opens a statement with its clip.
grant select, insert on clip_statements, messages, outcomes, keeper_releases to chordae_app, chordae_worker;
grant update (group_id) on clip_statements to chordae_app, chordae_worker;
grant select, insert, update on second_reads, phrases, desk_settings to chordae_app;
grant select on second_reads, phrases to chordae_worker;
grant update (settings) on reading_groups to chordae_app;

-- Who reads in a group that the asker belongs to.
create function people_of_group(grp uuid) returns table (member_id uuid, name text, email text, roles text[])
language sql stable security definer set search_path = public as
$$ select m.id, m.name, m.email, array_agg(ms.role order by ms.role) from members m join memberships ms on ms.member_id = m.id
    where grp = any (my_orgs()) and ms.group_id = grp and ms.ended_at is null and m.disabled_at is null
    group by m.id, m.name, m.email $$;

-- Addresses of a partner group's readers, for mails that a job of the practice writes.
create function partner_group_addresses(grp uuid) returns table (member_id uuid, name text, email text)
language sql stable security definer set search_path = public as
$$ select distinct m.id, m.name, m.email from members m join memberships ms on ms.member_id = m.id
    where grp = any (my_partners()) and ms.group_id = grp and ms.ended_at is null and m.disabled_at is null $$;

-- How many files of a sent referral are still on their way: a number for its reading group, which never sees the arrivals.
create function arriving_of(practice uuid, referral uuid) returns integer
language sql stable security definer set search_path = public as
$$ select count(*)::int from arrivals a join referrals r on r.practice_id = a.practice_id and r.id = a.referral_id
    where a.practice_id = practice and a.referral_id = referral and r.group_id = any (my_orgs())
      and a.state in ('expected', 'arriving', 'arrived') $$;

-- Anybody who holds a printed opinion may ask whether its hash was signed here. Names nobody's patient.
create function opinion_by_hash(hash text) returns table (kind text, signer_name text, group_name text, signed_at timestamptz, addenda integer)
language sql stable security definer set search_path = public as
$$ select s.kind, s.signer_name, g.name, s.signed_at,
          (select count(*)::int from signed_opinions a
            where a.practice_id = s.practice_id and a.referral_id = s.referral_id and a.kind = 'addendum' and a.signed_at > s.signed_at)
     from signed_opinions s join reading_groups g on g.id = s.group_id where s.sha256 = hash $$;
create policy gate_read on signed_opinions for select to chordae_gate using (true);
grant select on signed_opinions to chordae_gate;
create index signed_opinions_hash on signed_opinions (sha256);

do $$
declare f text;
begin
  foreach f in array array['people_of_group(uuid)','partner_group_addresses(uuid)','opinion_by_hash(text)','arriving_of(uuid, uuid)'] loop
    execute format('alter function %s owner to chordae_gate', f);
    execute format('revoke all on function %s from public', f);
  end loop;
end $$;
grant execute on function people_of_group(uuid), opinion_by_hash(text), arriving_of(uuid, uuid) to chordae_app;
grant execute on function partner_group_addresses(uuid) to chordae_worker;
