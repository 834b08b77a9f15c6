-- Rounds: a sonographer's day, scan reports, patients that are merged, a month's account, work left behind, teaching.

-- A case may have no reading group yet: a scan that its sonographer reports on, and that may be sent later.
alter table referrals alter column wanted_group_id drop not null;
alter table referrals drop constraint referrals_state_check;
alter table referrals drop constraint referrals_check;
alter table referrals add constraint referrals_state_check
  check (state in ('draft', 'reported', 'filed', 'sent', 'reading', 'images-wanted', 'answered', 'closed', 'withdrawn'));
alter table referrals add constraint referrals_group_check
  check (state in ('draft', 'reported', 'filed', 'withdrawn') or group_id is not null);
create index referrals_patient on referrals (practice_id, patient_id);
create index scans_patient on scans (practice_id, patient_id, scanned_on desc);
create index patients_recent on patients (practice_id, updated_at desc) where merged_into_id is null;
create index patients_merged on patients (practice_id, merged_into_id) where merged_into_id is not null;

-- scan reports ---------------------------------------------------------------------------------------------------
create table report_drafts (
  practice_id uuid not null,
  id uuid not null,
  referral_id uuid not null,
  fields jsonb not null,
  revision integer not null default 1,
  field_revisions jsonb not null default '{}',
  updated_by uuid not null,
  updated_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  unique (practice_id, referral_id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
-- group_id is null until the case is sent to a reading group: then it reads what the sonographer wrote.
create table signed_reports (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid,
  referral_id uuid not null,
  kind text not null check (kind in ('report', 'addendum')),
  fields jsonb not null,
  canonical_text text not null,
  sha256 text not null,
  signer_id uuid not null,
  signer_name text not null,
  -- The server's time; what the device said is kept beside it and orders nothing.
  signed_at timestamptz not null,
  device_signed_at timestamptz,
  inputs jsonb not null,
  engine_version text not null,
  primary key (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create unique index signed_reports_one on signed_reports (practice_id, referral_id) where kind = 'report';
create index signed_reports_referral on signed_reports (practice_id, referral_id);
create index signed_reports_group on signed_reports (group_id);
create index signed_reports_hash on signed_reports (sha256);
create function signed_reports_keep() returns trigger language plpgsql as $$
begin
  -- Only its opening to the reading group may change.
  if tg_op = 'DELETE' or (to_jsonb(new) - 'group_id') is distinct from (to_jsonb(old) - 'group_id') then
    raise exception 'signed_reports is append-only' using errcode = 'check_violation';
  end if;
  return new;
end $$;
create trigger signed_reports_frozen before update or delete on signed_reports for each row execute function signed_reports_keep();
create table report_pdfs (
  practice_id uuid not null,
  signed_id uuid not null,
  group_id uuid,
  storage_key text not null,
  sha256 text not null,
  size_bytes bigint not null,
  created_at timestamptz not null default app_now(),
  primary key (practice_id, signed_id),
  foreign key (practice_id, signed_id) references signed_reports (practice_id, id)
);
-- Between the practice and its sonographer; never opened to a reading group.
create table report_messages (
  practice_id uuid not null,
  id uuid not null,
  referral_id uuid not null,
  side text not null check (side in ('practice', 'sonographer')),
  text text not null,
  made_by uuid not null,
  made_by_name text not null,
  made_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create index report_messages_referral on report_messages (practice_id, referral_id, made_at);

-- rounds ---------------------------------------------------------------------------------------------------------
-- A round is its member's own; a visit belongs to the practice it is made at, so a member who leaves loses its visits.
create table rounds (
  member_id uuid not null references members (id),
  id uuid not null,
  day date not null,
  fields jsonb not null default '{}',
  closed_at timestamptz,
  revision integer not null default 1,
  field_revisions jsonb not null default '{}',
  created_at timestamptz not null default app_now(),
  updated_at timestamptz not null default app_now(),
  primary key (member_id, id)
);
create index rounds_day on rounds (member_id, day desc);
create table scan_requests (
  practice_id uuid not null references practices (id),
  id uuid not null,
  patient_id uuid,
  planned jsonb not null,
  wanted_on date,
  asked_by uuid not null,
  asked_by_name text not null,
  asked_at timestamptz not null default app_now(),
  taken_by uuid,
  taken_by_name text,
  taken_at timestamptz,
  withdrawn_at timestamptz,
  primary key (practice_id, id),
  foreign key (practice_id, patient_id) references patients (practice_id, id)
);
create index scan_requests_open on scan_requests (practice_id, asked_at) where taken_at is null and withdrawn_at is null;
create table round_visits (
  practice_id uuid not null references practices (id),
  id uuid not null,
  member_id uuid not null,
  member_name text not null,
  round_id uuid not null,
  request_id uuid,
  patient_id uuid,
  referral_id uuid,
  fields jsonb not null,
  revision integer not null default 1,
  field_revisions jsonb not null default '{}',
  created_at timestamptz not null default app_now(),
  updated_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  foreign key (member_id, round_id) references rounds (member_id, id),
  foreign key (practice_id, request_id) references scan_requests (practice_id, id),
  foreign key (practice_id, patient_id) references patients (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create index round_visits_round on round_visits (member_id, round_id);
create index round_visits_practice on round_visits (practice_id, updated_at desc);
create index round_visits_referral on round_visits (practice_id, referral_id);

-- a month's account ----------------------------------------------------------------------------------------------
create table account_prices (
  practice_id uuid not null references practices (id),
  member_id uuid not null references members (id),
  prices jsonb not null,
  updated_by_name text not null,
  updated_at timestamptz not null default app_now(),
  primary key (practice_id, member_id)
);

-- patients that turned out to be one -----------------------------------------------------------------------------
create table patient_merges (
  practice_id uuid not null,
  id uuid not null,
  from_id uuid not null,
  into_id uuid not null,
  reason text not null,
  made_by uuid not null,
  made_by_name text not null,
  made_at timestamptz not null default app_now(),
  undone_at timestamptz,
  undone_by_name text,
  primary key (practice_id, id),
  foreign key (practice_id, from_id) references patients (practice_id, id),
  foreign key (practice_id, into_id) references patients (practice_id, id)
);
create index patient_merges_into on patient_merges (practice_id, into_id);

-- Small letters without accents: how names are looked for.
create function fold_text(words text) returns text language sql immutable parallel safe as
$$ select case when words ~ '^[ -~]*$' then lower(words)
               else regexp_replace(lower(normalize(words, nfd)), '[\u0300-\u036f]', '', 'g') end $$;

-- The patient that stands, however often it was merged: the end of the chain of merged_into_id. For the practice itself,
-- and for a group that sees a referral of it, which may not read patients: it learns ids, nothing more.
create function patient_root(practice uuid, patient uuid) returns uuid
language sql stable security definer set search_path = public as
$$ with recursive up as (
     select p.id, p.merged_into_id from patients p
      where p.practice_id = practice and p.id = patient
        and (practice = any (my_orgs()) or exists (select 1 from referrals r
              where r.practice_id = practice and r.patient_id = patient and r.group_id = any (my_orgs())))
     union
     select p.id, p.merged_into_id from up join patients p on p.practice_id = practice and p.id = up.merged_into_id)
   select id from up where merged_into_id is null $$;

-- Every id under which the same animal has rows: scans, weights and referrals keep the id they were made with.
create function patient_family(practice uuid, patient uuid) returns uuid[]
language sql stable security definer set search_path = public as
$$ with recursive down as (
     select patient_root(practice, patient) as id
     union
     select p.id from down join patients p on p.practice_id = practice and p.merged_into_id = down.id)
   select coalesce(array_agg(id) filter (where id is not null), '{}') from down $$;

-- The gate needs to see referrals already; of patients it sees how they hang together.
create policy gate_read on patients for select to chordae_gate using (true);
grant select (practice_id, id, merged_into_id) on patients to chordae_gate;
do $$
declare f text;
begin
  foreach f in array array['patient_root(uuid, uuid)','patient_family(uuid, uuid)'] loop
    execute format('alter function %s owner to chordae_gate', f);
    execute format('revoke all on function %s from public', f);
    execute format('grant execute on function %s to chordae_app, chordae_worker', f);
  end loop;
end $$;

-- work left on the device of somebody who left the practice ------------------------------------------------------
create table left_work (
  practice_id uuid not null references practices (id),
  id uuid not null,
  from_member uuid not null,
  from_name text not null,
  work jsonb not null,
  made_at timestamptz not null default app_now(),
  taken_by_name text,
  taken_at timestamptz,
  primary key (practice_id, id)
);
create table left_files (
  practice_id uuid not null,
  work_id uuid not null,
  id uuid not null,
  file_name text not null,
  size_bytes bigint not null,
  sha256 text not null,
  storage_key text not null,
  made_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  foreign key (practice_id, work_id) references left_work (practice_id, id)
);

-- teaching -------------------------------------------------------------------------------------------------------
create table teaching_consents (
  practice_id uuid not null,
  referral_id uuid not null,
  group_id uuid,
  given_by uuid not null,
  given_by_name text not null,
  given_at timestamptz not null default app_now(),
  withdrawn_at timestamptz,
  primary key (practice_id, referral_id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create index teaching_consents_group on teaching_consents (group_id);
-- What may be seen by everybody whom the group serves: no practice, no names. Where it came from stands in its own table.
create table teaching_clips (
  group_id uuid not null references reading_groups (id),
  id uuid not null,
  view text not null,
  kind text not null check (kind in ('usual', 'error', 'changed')),
  title text not null,
  words text not null,
  species text not null,
  breed_text text not null default '',
  weight_kg double precision,
  age_months integer,
  storage_key text not null,
  size_bytes bigint not null,
  sha256 text not null,
  description jsonb not null,
  added_by_name text not null,
  added_at timestamptz not null default app_now(),
  withdrawn_at timestamptz,
  primary key (group_id, id)
);
create index teaching_clips_view on teaching_clips (group_id, view) where withdrawn_at is null;
create table teaching_sources (
  group_id uuid not null,
  teaching_id uuid not null,
  practice_id uuid not null,
  referral_id uuid not null,
  clip_id uuid not null,
  primary key (group_id, teaching_id),
  foreign key (group_id, teaching_id) references teaching_clips (group_id, id),
  foreign key (practice_id, clip_id) references clips (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create index teaching_sources_clip on teaching_sources (practice_id, clip_id);

-- row-level security ---------------------------------------------------------------------------------------------
do $$
declare t text;
begin
  foreach t in array array['signed_reports','report_pdfs','teaching_consents'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy tenant on %I using (practice_id = any (my_orgs()) or group_id = any (my_orgs()))
                    with check (practice_id = any (my_orgs()) or group_id = any (my_orgs()))', t);
  end loop;
  foreach t in array array['report_drafts','report_messages','scan_requests','round_visits','account_prices','patient_merges',
    'left_work','left_files'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy practice_only on %I using (practice_id = any (my_orgs()))
                    with check (practice_id = any (my_orgs()))', t);
  end loop;
  foreach t in array array['rounds'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy mine on %I using (member_id = my_member()) with check (member_id = my_member())', t);
  end loop;
  foreach t in array array['teaching_clips'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy mine_and_partners on %I for select
                    using (group_id = any (my_orgs()) or group_id = any (my_partners()))', t);
    execute format('create policy mine_add on %I for insert with check (group_id = any (my_orgs()))', t);
    execute format('create policy mine_change on %I for update using (group_id = any (my_orgs()))', t);
  end loop;
  foreach t in array array['teaching_sources'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy tenant on %I using (practice_id = any (my_orgs()) or group_id = any (my_orgs()))
                    with check (group_id = any (my_orgs()))', t);
  end loop;
end $$;

grant select, insert, update on report_drafts, rounds, round_visits, scan_requests, account_prices to chordae_app;
grant select, insert on signed_reports, report_messages, report_pdfs, left_work, left_files to chordae_app;
grant select on report_drafts, rounds, round_visits, scan_requests, account_prices, report_messages to chordae_worker;
grant select, insert on signed_reports, report_pdfs to chordae_worker;
grant update (group_id) on signed_reports, report_pdfs to chordae_app;
grant update (taken_by_name, taken_at) on left_work to chordae_app;
grant select, insert on patient_merges to chordae_app;
grant update (undone_at, undone_by_name) on patient_merges to chordae_app;
grant select, insert on teaching_consents, teaching_clips, teaching_sources to chordae_app, chordae_worker;
grant update (group_id, withdrawn_at, given_by, given_by_name, given_at) on teaching_consents to chordae_app;
grant update (withdrawn_at, title, words) on teaching_clips to chordae_app;

-- Off the shelf in the same transaction, whoever may see the shelf and whether the agreement still stands: when a practice
-- takes its consent back, and when a clip gets another mask, since the copy was made with the one before.
create function take_off_shelf() returns trigger language plpgsql security definer set search_path = public as $$
begin
  if tg_table_name = 'teaching_consents' then
    update teaching_clips t set withdrawn_at = app_now() from teaching_sources s
      where s.practice_id = new.practice_id and s.referral_id = new.referral_id
        and t.group_id = s.group_id and t.id = s.teaching_id and t.withdrawn_at is null;
  else
    update teaching_clips t set withdrawn_at = app_now() from teaching_sources s
      where s.practice_id = new.practice_id and s.clip_id = new.clip_id
        and t.group_id = s.group_id and t.id = s.teaching_id and t.withdrawn_at is null;
  end if;
  return null;
end $$;
create policy gate_all on teaching_clips to chordae_gate using (true) with check (true);
create policy gate_read on teaching_sources for select to chordae_gate using (true);
grant select (group_id, id, withdrawn_at), update (withdrawn_at) on teaching_clips to chordae_gate;
grant select on teaching_sources to chordae_gate;
alter function take_off_shelf() owner to chordae_gate;
revoke all on function take_off_shelf() from public;
create trigger consent_withdrawn after update of withdrawn_at on teaching_consents for each row
  when (new.withdrawn_at is not null) execute function take_off_shelf();
create trigger pack_superseded after update of superseded_at on packs for each row
  when (new.kind = 'outgoing' and new.superseded_at is not null) execute function take_off_shelf();

-- Sending opens the rows of a case to its reading group: the sonographer's signed report goes along.
create or replace function share_with_group(practice uuid, referral uuid, grp uuid) returns void language plpgsql set search_path = public as $$
begin
  update scan_referrals set group_id = grp where practice_id = practice and referral_id = referral;
  update scans s set group_id = grp from scan_referrals sr
    where sr.practice_id = practice and sr.referral_id = referral and s.practice_id = practice and s.id = sr.scan_id;
  update clips set group_id = grp where practice_id = practice and referral_id = referral and held is null;
  update packs p set group_id = grp from clips c
    where c.practice_id = practice and c.referral_id = referral and p.practice_id = practice and p.clip_id = c.id and p.kind = 'outgoing'
      and c.held is null;
  update measurements set group_id = grp where practice_id = practice and referral_id = referral;
  update observations set group_id = grp where practice_id = practice and referral_id = referral;
  update interpretations set group_id = grp where practice_id = practice and referral_id = referral;
  update signed_reports set group_id = grp where practice_id = practice and referral_id = referral;
  update report_pdfs p set group_id = grp from signed_reports s
    where s.practice_id = practice and s.referral_id = referral and p.practice_id = practice and p.signed_id = s.id;
  update teaching_consents set group_id = grp where practice_id = practice and referral_id = referral;
end $$;

-- A printed scan report is checked by its hash as an opinion is; the name beside it is then the practice's.
create or replace function opinion_by_hash(hash text) returns table (kind text, signer_name text, group_name text, signed_at timestamptz, addenda integer)
language sql stable security definer set search_path = public as
$$ select s.kind, s.signer_name, g.name, s.signed_at,
          (select count(*)::int from signed_opinions a
            where a.practice_id = s.practice_id and a.referral_id = s.referral_id and a.kind = 'addendum' and a.signed_at > s.signed_at)
     from signed_opinions s join reading_groups g on g.id = s.group_id where s.sha256 = hash
   union all
   select case s.kind when 'report' then 'scan-report' else 'scan-report-addendum' end, s.signer_name, p.name, s.signed_at,
          (select count(*)::int from signed_reports a
            where a.practice_id = s.practice_id and a.referral_id = s.referral_id and a.kind = 'addendum' and a.signed_at > s.signed_at)
     from signed_reports s join practices p on p.id = s.practice_id where s.sha256 = hash $$;
create policy gate_read on signed_reports for select to chordae_gate using (true);
grant select on signed_reports to chordae_gate;

-- Who works in a practice that the asker belongs to.
create function people_of_practice(practice uuid) returns table (member_id uuid, name text, email text, roles text[])
language sql stable security definer set search_path = public as
$$ select m.id, m.name, m.email, array_agg(ms.role order by ms.role) from members m join memberships ms on ms.member_id = m.id
    where practice = any (my_orgs()) and ms.practice_id = practice and ms.ended_at is null and m.disabled_at is null
    group by m.id, m.name, m.email $$;

-- Who scans at a practice that a reading group of the asker reads for: names for its lead's feedback.
create function senders_of(grp uuid) returns table (member_id uuid, name text)
language sql stable security definer set search_path = public as
$$ select distinct m.id, m.name from members m join memberships ms on ms.member_id = m.id
     join agreements a on a.practice_id = ms.practice_id and a.ended_at is null
    where grp = any (my_orgs()) and a.group_id = grp and ms.ended_at is null and m.disabled_at is null
      and ms.role in ('referring-vet', 'sonographer') $$;

-- A manager ends somebody's membership: from the next request on, nothing of that practice opens for that person.
create function end_membership(practice uuid, who uuid) returns integer language plpgsql security definer set search_path = public as $$
declare n integer;
begin
  if not exists (select 1 from memberships where member_id = my_member() and practice_id = practice and role = 'manager' and ended_at is null) then
    return 0;
  end if;
  update memberships set ended_at = app_now() where member_id = who and practice_id = practice and ended_at is null;
  get diagnostics n = row_count;
  return n;
end $$;

-- Whether the asker has left this practice within the last 60 days, and its name: the door for handing over unsent work.
create function left_practice(practice uuid) returns table (name text, ended_at timestamptz)
language sql stable security definer set search_path = public as
$$ select p.name, max(ms.ended_at) from memberships ms join practices p on p.id = ms.practice_id
    where ms.member_id = my_member() and ms.practice_id = practice
      and not exists (select 1 from memberships o where o.member_id = my_member() and o.practice_id = practice and o.ended_at is null)
      and ms.ended_at > app_now() - interval '60 days'
    group by p.name $$;

-- Writing only: who has left can put work down here and read nothing.
create function leave_work(practice uuid, work_id uuid, member_name text, what jsonb) returns boolean
language plpgsql security definer set search_path = public as $$
begin
  if not exists (select 1 from left_practice(practice)) then return false; end if;
  insert into left_work (practice_id, id, from_member, from_name, work) values (practice, work_id, my_member(), member_name, what)
    on conflict do nothing;
  return true;
end $$;
create function leave_file(practice uuid, of_work uuid, file_id uuid, file text, bytes bigint, hash text, key text) returns boolean
language plpgsql security definer set search_path = public as $$
begin
  if not exists (select 1 from left_practice(practice))
     or not exists (select 1 from left_work where practice_id = practice and id = of_work and from_member = my_member()) then
    return false;
  end if;
  insert into left_files (practice_id, work_id, id, file_name, size_bytes, sha256, storage_key)
    values (practice, of_work, file_id, file, bytes, hash, key) on conflict do nothing;
  return true;
end $$;
create policy gate_all on left_work to chordae_gate using (true) with check (true);
create policy gate_all on left_files to chordae_gate using (true) with check (true);
grant select, insert on left_work, left_files to chordae_gate;

do $$
declare f text;
begin
  foreach f in array array['people_of_practice(uuid)','senders_of(uuid)','end_membership(uuid, uuid)','left_practice(uuid)',
    'leave_work(uuid, uuid, text, jsonb)','leave_file(uuid, uuid, uuid, text, bigint, text, text)'] loop
    execute format('alter function %s owner to chordae_gate', f);
    execute format('revoke all on function %s from public', f);
    execute format('grant execute on function %s to chordae_app', f);
  end loop;
end $$;
