-- The spine. Runs as the owner role; see DEVELOPERS.md, 'Tenancy'.
-- Every tenant table: practice_id and group_id on the row, composite keys and foreign keys, forced row-level security.
-- group_id is null until a referral is sent: until then only the practice sees the row.

create function my_orgs() returns uuid[] language sql stable parallel safe as
$$ select coalesce(nullif(current_setting('app.orgs', true), ''), '{}')::uuid[] $$;

create function my_partners() returns uuid[] language sql stable parallel safe as
$$ select coalesce(nullif(current_setting('app.partners', true), ''), '{}')::uuid[] $$;

create function my_member() returns uuid language sql stable parallel safe as
$$ select nullif(current_setting('app.member', true), '')::uuid $$;

-- Tests set app.now to move the clock; otherwise it is the transaction's own time.
create function app_now() returns timestamptz language sql stable as
$$ select coalesce(nullif(current_setting('app.now', true), '')::timestamptz, now()) $$;

-- accounts -------------------------------------------------------------------------------------------------------
create table practices (
  id uuid primary key,
  name text not null,
  zone text not null,
  phone text not null default '',
  letterhead jsonb not null default '{"schema":1}',
  demo boolean not null default false,
  next_patient_number integer not null default 1,
  next_referral_number integer not null default 1,
  created_at timestamptz not null default app_now()
);
create table reading_groups (
  id uuid primary key,
  name text not null,
  zone text not null,
  phone text not null default '',
  letterhead jsonb not null default '{"schema":1}',
  demo boolean not null default false,
  created_at timestamptz not null default app_now()
);
create table members (
  id uuid primary key,
  email text not null,
  name text not null,
  password_hash text not null,
  disabled_at timestamptz,
  created_at timestamptz not null default app_now()
);
create unique index members_email on members (lower(email));
create table memberships (
  id uuid primary key,
  member_id uuid not null references members (id),
  practice_id uuid references practices (id),
  group_id uuid references reading_groups (id),
  role text not null,
  created_at timestamptz not null default app_now(),
  ended_at timestamptz,
  check ((practice_id is null) <> (group_id is null)),
  check ((practice_id is not null and role in ('referring-vet', 'sonographer', 'manager'))
      or (group_id is not null and role in ('cardiologist', 'lead')))
);
create index memberships_member on memberships (member_id) where ended_at is null;
create table sessions (
  token_hash bytea primary key,
  member_id uuid not null references members (id),
  created_at timestamptz not null default app_now(),
  expires_at timestamptz not null,
  ended_at timestamptz
);
create table agreements (
  practice_id uuid not null references practices (id),
  group_id uuid not null references reading_groups (id),
  id uuid not null,
  zone text not null,
  opening_hours jsonb not null,
  target_minutes jsonb not null,
  emergency_contact text not null,
  created_at timestamptz not null default app_now(),
  ended_at timestamptz,
  primary key (practice_id, id),
  unique (practice_id, group_id, id)
);

-- case ---------------------------------------------------------------------------------------------------------------
create table patients (
  practice_id uuid not null references practices (id),
  id uuid not null,
  number integer not null,
  name text not null,
  species text not null,
  breed_code text,
  breed_text text not null default '',
  sex text not null,
  neutered boolean,
  birth_date date,
  birth_precision text,
  chip text,
  merged_into_id uuid,
  revision integer not null default 1,
  field_revisions jsonb not null default '{}',
  created_by uuid not null,
  created_at timestamptz not null default app_now(),
  updated_at timestamptz not null default app_now(),
  erased_at timestamptz,
  primary key (practice_id, id),
  unique (practice_id, number),
  foreign key (practice_id, merged_into_id) references patients (practice_id, id)
);
create index patients_name on patients (practice_id, lower(name) text_pattern_ops);

-- Its own table, since row-level security cannot hide a column: the reading group never needs the keeper.
create table keepers (
  practice_id uuid not null,
  patient_id uuid not null,
  name text not null default '',
  phone text not null default '',
  email text not null default '',
  updated_at timestamptz not null default app_now(),
  erased_at timestamptz,
  primary key (practice_id, patient_id),
  foreign key (practice_id, patient_id) references patients (practice_id, id)
);
create table weights (
  practice_id uuid not null,
  id uuid not null,
  patient_id uuid not null,
  weight_kg double precision not null check (weight_kg > 0),
  as_typed text not null,
  guessed boolean not null,
  weighed_on date not null,
  created_by uuid not null,
  created_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  foreign key (practice_id, patient_id) references patients (practice_id, id)
);
create index weights_patient on weights (practice_id, patient_id, weighed_on desc, created_at desc);

create table scans (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid,
  patient_id uuid not null,
  scanned_on date not null,
  operator text not null default '',
  machine text not null default '',
  state jsonb not null,
  revision integer not null default 1,
  field_revisions jsonb not null default '{}',
  created_by uuid not null,
  created_at timestamptz not null default app_now(),
  updated_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  foreign key (practice_id, patient_id) references patients (practice_id, id)
);
create index scans_group on scans (group_id);

create table referrals (
  practice_id uuid not null references practices (id),
  id uuid not null,
  group_id uuid references reading_groups (id),
  -- Whom the draft will be sent to; group_id is set only by sending.
  wanted_group_id uuid not null,
  patient_id uuid not null,
  number integer not null,
  state text not null default 'draft',
  plan text not null,
  question text not null default '',
  history text not null default '',
  urgency_asked text,
  urgency_reason text not null default '',
  identity text not null default 'not-compared',
  identity_reason text,
  -- Patient as sent: what the reading group reads. Never holds the keeper.
  patient_sent jsonb,
  -- Time-independent order keys of the queue.
  urgency text,
  urgency_rank smallint,
  -- What the engine proposed when it last moved the urgency: only a higher proposal moves it again.
  urgency_proposed text,
  act_now text[] not null default '{}',
  clinical_words text[] not null default '{}',
  sent_at timestamptz,
  due_at timestamptz,
  clock_stopped_at timestamptz,
  reader_id uuid,
  reader_name text,
  clip_count integer not null default 0,
  revision integer not null default 1,
  field_revisions jsonb not null default '{}',
  created_by uuid not null,
  created_at timestamptz not null default app_now(),
  updated_at timestamptz not null default app_now(),
  withdrawn_at timestamptz,
  retained_until date,
  erased_at timestamptz,
  primary key (practice_id, id),
  unique (practice_id, number),
  foreign key (practice_id, patient_id) references patients (practice_id, id),
  check (state in ('draft', 'sent', 'reading', 'images-wanted', 'answered', 'closed', 'withdrawn')),
  check (state in ('draft', 'withdrawn') or group_id is not null)
);
create index referrals_practice on referrals (practice_id, updated_at desc);
create index referrals_group on referrals (group_id, state, urgency_rank, due_at);

create table scan_referrals (
  practice_id uuid not null,
  group_id uuid,
  scan_id uuid not null,
  referral_id uuid not null,
  position integer not null,
  primary key (practice_id, scan_id, referral_id),
  foreign key (practice_id, scan_id) references scans (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create index scan_referrals_referral on scan_referrals (practice_id, referral_id);
create index scan_referrals_group on scan_referrals (group_id);

-- arrive ---------------------------------------------------------------------------------------------------------
create table originals (
  practice_id uuid not null references practices (id),
  id uuid not null,
  storage_key text not null,
  sha256 text not null,
  size_bytes bigint not null,
  arrived_at timestamptz not null default app_now(),
  retained_until date,
  erased_at timestamptz,
  primary key (practice_id, id),
  unique (practice_id, sha256)
);
create table arrivals (
  practice_id uuid not null,
  id uuid not null,
  referral_id uuid not null,
  scan_id uuid not null,
  file_name text not null,
  size_bytes bigint not null check (size_bytes > 0),
  sha256_announced text,
  state text not null default 'expected'
    check (state in ('expected', 'arriving', 'arrived', 'read', 'unreadable', 'duplicate')),
  original_id uuid,
  problem jsonb,
  created_by uuid not null,
  created_at timestamptz not null default app_now(),
  updated_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id),
  foreign key (practice_id, scan_id, referral_id) references scan_referrals (practice_id, scan_id, referral_id),
  foreign key (practice_id, original_id) references originals (practice_id, id)
);
create unique index arrivals_id on arrivals (id);
create index arrivals_referral on arrivals (practice_id, referral_id);

-- read ---------------------------------------------------------------------------------------------------------------
create table clips (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid,
  scan_id uuid not null,
  referral_id uuid not null,
  arrival_id uuid not null,
  original_id uuid not null,
  number integer not null,
  description jsonb not null,
  view text,
  view_judged text not null default 'received',
  view_why text,
  mask text not null,
  keep_box jsonb,
  held text,
  versions jsonb not null,
  revision integer not null default 1,
  created_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  unique (practice_id, arrival_id),
  unique (practice_id, referral_id, number),
  foreign key (practice_id, scan_id) references scans (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id),
  foreign key (practice_id, arrival_id) references arrivals (practice_id, id),
  foreign key (practice_id, original_id) references originals (practice_id, id)
);
create index clips_referral on clips (practice_id, referral_id, number);
create index clips_group on clips (group_id);
-- What the file says about patient and practice: its own table, no group_id, so that it cannot leave.
create table clip_origins (
  practice_id uuid not null,
  clip_id uuid not null,
  file_name text not null,
  machine jsonb not null,
  primary key (practice_id, clip_id),
  foreign key (practice_id, clip_id) references clips (practice_id, id)
);
create table packs (
  practice_id uuid not null,
  id uuid not null,
  -- Set only on an outgoing pack of a sent referral.
  group_id uuid,
  clip_id uuid not null,
  kind text not null check (kind in ('own', 'outgoing')),
  storage_key text not null,
  size_bytes bigint not null,
  sha256 text not null,
  format_version integer not null,
  created_at timestamptz not null default app_now(),
  superseded_at timestamptz,
  primary key (practice_id, id),
  foreign key (practice_id, clip_id) references clips (practice_id, id),
  check (kind = 'outgoing' or group_id is null)
);
create unique index packs_current on packs (practice_id, clip_id, kind) where superseded_at is null;
create index packs_group on packs (group_id);

-- measure ------------------------------------------------------------------------------------------------------------
create table measurements (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid,
  referral_id uuid not null,
  clip_id uuid,
  code text not null,
  value double precision not null,
  unit text not null,
  as_typed text not null,
  view text,
  method text,
  beat smallint,
  frame integer,
  source text not null check (source in ('typed', 'machine', 'caliper', 'computed')),
  geometry jsonb,
  side text not null check (side in ('sender', 'reader', 'machine')),
  supersedes_id uuid,
  withdrawn boolean not null default false,
  made_by uuid,
  made_by_name text not null,
  made_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id),
  foreign key (practice_id, clip_id) references clips (practice_id, id),
  foreign key (practice_id, supersedes_id) references measurements (practice_id, id),
  -- No forks: a value is superseded once.
  unique (practice_id, supersedes_id)
);
create index measurements_referral on measurements (practice_id, referral_id);
create index measurements_group on measurements (group_id);
create table observations (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid,
  referral_id uuid not null,
  code text not null,
  value text,
  side text not null check (side in ('sender', 'reader', 'machine')),
  supersedes_id uuid,
  made_by uuid,
  made_by_name text not null,
  made_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id),
  foreign key (practice_id, supersedes_id) references observations (practice_id, id),
  unique (practice_id, supersedes_id)
);
create index observations_referral on observations (practice_id, referral_id);
create index observations_group on observations (group_id);

-- interpret ------------------------------------------------------------------------------------------------------
create sequence interpretation_positions;
create table interpretations (
  -- The newest stands: an answer that holds again after a change and back gets a new place, not a second row.
  position bigint not null default nextval('interpretation_positions'),
  practice_id uuid not null,
  id uuid not null,
  group_id uuid,
  referral_id uuid not null,
  result jsonb not null,
  input jsonb not null,
  input_hash text not null,
  engine_version text not null,
  limits_hash text not null,
  made_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id),
  unique (practice_id, referral_id, input_hash, engine_version, limits_hash)
);
create index interpretations_referral on interpretations (practice_id, referral_id, position desc);
create index interpretations_group on interpretations (group_id);

-- answer -------------------------------------------------------------------------------------------------------------
create table readings (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid not null,
  referral_id uuid not null,
  member_id uuid not null,
  member_name text not null,
  kind text not null default 'primary' check (kind in ('primary', 'second', 'taken-over')),
  started_at timestamptz not null default app_now(),
  ended_at timestamptz,
  ended_how text,
  primary key (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create unique index readings_open on readings (practice_id, referral_id) where ended_at is null and kind <> 'second';
create index readings_group on readings (group_id);

-- Drafts belong to the group alone: their policy does not name the practice.
create table opinion_drafts (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid not null,
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
create table flag_answers (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid not null,
  referral_id uuid not null,
  flag_key text not null,
  answer text not null check (answer in ('kept', 'set-aside')),
  reason text not null default '',
  made_by uuid not null,
  made_by_name text not null,
  made_at timestamptz not null default app_now(),
  primary key (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create index flag_answers_referral on flag_answers (practice_id, referral_id, made_at);
create index flag_answers_group on flag_answers (group_id);
create table interim_answers (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid not null,
  referral_id uuid not null,
  text text not null,
  made_by uuid not null,
  made_by_name text not null,
  made_at timestamptz not null default app_now(),
  read_back_at timestamptz,
  read_back_by text,
  primary key (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create index interim_answers_referral on interim_answers (practice_id, referral_id);
create index interim_answers_group on interim_answers (group_id);
create table rescan_wishes (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid not null,
  referral_id uuid not null,
  views jsonb not null,
  text text not null default '',
  made_by uuid not null,
  made_by_name text not null,
  made_at timestamptz not null default app_now(),
  answered_at timestamptz,
  answer_note text,
  primary key (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create index rescan_wishes_referral on rescan_wishes (practice_id, referral_id);
create index rescan_wishes_group on rescan_wishes (group_id);

-- sign ---------------------------------------------------------------------------------------------------------------
create table signed_opinions (
  practice_id uuid not null,
  id uuid not null,
  group_id uuid not null,
  referral_id uuid not null,
  kind text not null check (kind in ('opinion', 'addendum')),
  fields jsonb not null,
  canonical_text text not null,
  sha256 text not null,
  signer_id uuid not null,
  signer_name text not null,
  signed_at timestamptz not null,
  inputs jsonb not null,
  engine_version text not null,
  primary key (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create unique index signed_opinions_one on signed_opinions (practice_id, referral_id) where kind = 'opinion';
create index signed_opinions_group on signed_opinions (group_id);
create table opinion_pdfs (
  practice_id uuid not null,
  signed_id uuid not null,
  group_id uuid not null,
  storage_key text not null,
  sha256 text not null,
  size_bytes bigint not null,
  created_at timestamptz not null default app_now(),
  primary key (practice_id, signed_id),
  foreign key (practice_id, signed_id) references signed_opinions (practice_id, id)
);
create index opinion_pdfs_group on opinion_pdfs (group_id);

-- deliver --------------------------------------------------------------------------------------------------------
create table mails (
  practice_id uuid not null references practices (id),
  id uuid not null,
  referral_id uuid,
  reason text not null,
  to_email text not null,
  subject text not null,
  body text not null,
  state text not null default 'waiting' check (state in ('waiting', 'sent', 'failed')),
  attempts integer not null default 0,
  last_error text,
  created_at timestamptz not null default app_now(),
  sent_at timestamptz,
  primary key (practice_id, id),
  unique (practice_id, reason, to_email),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);

-- events and seals -----------------------------------------------------------------------------------------------
create table events (
  practice_id uuid not null references practices (id),
  id uuid not null,
  group_id uuid,
  seq bigint generated always as identity,
  -- Order that loses nothing: a row is read once no older transaction can still commit (xid < snapshot xmin).
  xid xid8 not null default pg_current_xact_id(),
  referral_id uuid,
  kind text not null,
  at timestamptz not null default app_now(),
  actor_kind text not null check (actor_kind in ('member', 'service', 'job', 'system')),
  actor_id uuid,
  actor_name text not null,
  -- Salted hash of the payload, so that erasing the payload keeps the chain.
  payload_hash bytea not null,
  primary key (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id)
);
create index events_referral on events (practice_id, referral_id, seq);
create index events_group on events (group_id, seq);
create index events_unsealed on events (practice_id, xid, seq);
create table event_payloads (
  practice_id uuid not null,
  event_id uuid not null,
  group_id uuid,
  salt bytea not null,
  data jsonb not null,
  erased_at timestamptz,
  primary key (practice_id, event_id),
  foreign key (practice_id, event_id) references events (practice_id, id)
);
create index event_payloads_group on event_payloads (group_id);
create table seals (
  practice_id uuid not null references practices (id),
  id bigint generated always as identity,
  upto_xid xid8 not null,
  event_count integer not null,
  merkle_root bytea not null,
  previous_hash bytea not null,
  hash bytea not null,
  sealed_at timestamptz not null default app_now(),
  primary key (practice_id, id)
);

-- row-level security ---------------------------------------------------------------------------------------------
-- Policies name my_orgs() plainly: wrapping it in a select, or an exists() over memberships, was 50 to 800 times slower.
do $$
declare t text;
begin
  foreach t in array array['scans','referrals','scan_referrals','clips','packs','measurements','observations',
    'interpretations','readings','flag_answers','interim_answers','rescan_wishes','signed_opinions','opinion_pdfs',
    'events','event_payloads','agreements'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy tenant on %I using (practice_id = any (my_orgs()) or group_id = any (my_orgs()))
                    with check (practice_id = any (my_orgs()) or group_id = any (my_orgs()))', t);
  end loop;
  foreach t in array array['patients','keepers','weights','originals','arrivals','clip_origins','mails','seals'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy practice_only on %I using (practice_id = any (my_orgs()))
                    with check (practice_id = any (my_orgs()))', t);
  end loop;
  foreach t in array array['opinion_drafts'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy group_only on %I using (group_id = any (my_orgs()))
                    with check (group_id = any (my_orgs()))', t);
  end loop;
  foreach t in array array['practices','reading_groups'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
    execute format('create policy mine_and_partners on %I for select
                    using (id = any (my_orgs()) or id = any (my_partners()))', t);
    execute format('create policy mine_only on %I for update using (id = any (my_orgs()))', t);
  end loop;
  foreach t in array array['members','memberships','sessions'] loop
    execute format('alter table %I enable row level security', t);
    execute format('alter table %I force row level security', t);
  end loop;
end $$;
create policy self on members for select using (id = my_member());
create policy mine on memberships for select
  using (member_id = my_member() or practice_id = any (my_orgs()) or group_id = any (my_orgs()));

-- The gate: the only role that reads sessions and memberships without an actor. Its functions are the only doors.
create policy gate_all on members to chordae_gate using (true) with check (true);
create policy gate_all on memberships to chordae_gate using (true) with check (true);
create policy gate_all on sessions to chordae_gate using (true) with check (true);
create policy gate_all on agreements to chordae_gate using (true) with check (true);
create policy gate_all on practices to chordae_gate using (true) with check (true);
create policy gate_all on reading_groups to chordae_gate using (true) with check (true);
create policy gate_read on events for select to chordae_gate using (true);
create policy gate_read on seals for select to chordae_gate using (true);
create policy gate_read on mails for select to chordae_gate using (true);
create policy gate_read on arrivals for select to chordae_gate using (true);
create policy gate_read on referrals for select to chordae_gate using (true);
grant select, insert, update on members, memberships, sessions, agreements, practices, reading_groups to chordae_gate;
grant select on events, seals, mails, arrivals, referrals to chordae_gate;

create function set_actor(member uuid, orgs uuid[]) returns void language sql security definer set search_path = public as $$
  select set_config('app.member', coalesce(member::text, ''), true),
         set_config('app.orgs', orgs::text, true),
         set_config('app.partners', coalesce((select array_agg(p)::text from (
           select group_id as p from agreements where practice_id = any (orgs) and ended_at is null
           union select practice_id from agreements where group_id = any (orgs) and ended_at is null) x), '{}'), true);
$$;

-- A signed-in person: the session's hash opens exactly the organisations of its member.
create function enter(hash bytea) returns table (member_id uuid, member_name text, member_email text, practice_id uuid, group_id uuid, role text)
language plpgsql security definer set search_path = public as $$
declare who uuid; orgs uuid[];
begin
  select s.member_id into who from sessions s join members m on m.id = s.member_id
   where s.token_hash = hash and s.ended_at is null and s.expires_at > app_now() and m.disabled_at is null;
  if who is null then return; end if;
  select coalesce(array_agg(distinct coalesce(ms.practice_id, ms.group_id)), '{}') into orgs
    from memberships ms where ms.member_id = who and ms.ended_at is null;
  perform set_actor(who, orgs);
  return query select m.id, m.name, m.email, ms.practice_id, ms.group_id, ms.role
    from members m left join memberships ms on ms.member_id = m.id and ms.ended_at is null where m.id = who;
end $$;

-- A job acts for one practice and nobody else.
create function enter_job(practice uuid) returns void language sql security definer set search_path = public as
$$ select set_actor(null, array[practice]) $$;

create function find_sign_in(mail text) returns table (member_id uuid, password_hash text)
language sql stable security definer set search_path = public as
$$ select id, password_hash from members where lower(email) = lower(mail) and disabled_at is null $$;

create function password_of(who uuid) returns text language sql stable security definer set search_path = public as
$$ select password_hash from members where id = who and id = my_member() and disabled_at is null $$;

create function open_session(hash bytea, who uuid, until timestamptz) returns void language sql security definer set search_path = public as
$$ insert into sessions (token_hash, member_id, expires_at) values (hash, who, until) $$;

create function close_session(hash bytea) returns void language sql security definer set search_path = public as
$$ update sessions set ended_at = app_now() where token_hash = hash and ended_at is null $$;

-- Whom to tell at a practice: names and addresses of its members, for mails made by a job of that practice.
create function practice_addresses(practice uuid) returns table (member_id uuid, name text, email text)
language sql stable security definer set search_path = public as
$$ select distinct m.id, m.name, m.email from members m join memberships ms on ms.member_id = m.id
    where practice = any (my_orgs()) and ms.practice_id = practice and ms.ended_at is null and m.disabled_at is null
      and ms.role in ('referring-vet', 'sonographer') $$;

create function practices_to_seal() returns setof uuid language sql stable security definer set search_path = public as
$$ select distinct e.practice_id from events e
    where e.xid < pg_snapshot_xmin(pg_current_snapshot())
      and e.xid > coalesce((select max(s.upto_xid) from seals s where s.practice_id = e.practice_id), '0'::xid8) $$;

create function practices_with_mail() returns setof uuid language sql stable security definer set search_path = public as
$$ select distinct practice_id from mails where state = 'waiting' $$;

-- Arrivals whose last byte may have come just before a crash.
create function unsettled_arrivals() returns table (practice_id uuid, id uuid) language sql stable security definer set search_path = public as
$$ select practice_id, id from arrivals where state in ('expected', 'arriving') $$;

create function all_practices() returns setof uuid language sql stable security definer set search_path = public as
$$ select id from practices $$;

-- An unfinished engine upgrade or a job of a practice needs only an id: NOTIFY carries topic and ids, nothing else.
create function tell_event() returns trigger language plpgsql as $$
begin
  perform pg_notify('chordae_events', json_build_object('p', new.practice_id, 'g', new.group_id, 'r', new.referral_id, 'k', new.kind)::text);
  return null;
end $$;
create trigger events_tell after insert on events for each row execute function tell_event();

-- Signed text, events and originals are append-only for everybody who works through the application.
create function refuse_change() returns trigger language plpgsql as
$$ begin raise exception '% is append-only', tg_table_name using errcode = 'check_violation'; end $$;
create trigger signed_opinions_frozen before update or delete on signed_opinions for each row execute function refuse_change();
create trigger events_frozen before update or delete on events for each row execute function refuse_change();
create trigger seals_frozen before update or delete on seals for each row execute function refuse_change();

-- Sending a referral opens its rows to the reading group.
create function share_with_group(practice uuid, referral uuid, grp uuid) returns void language plpgsql set search_path = public as $$
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
end $$;

-- owners of the doors, and who may open which ------------------------------------------------------------------
do $$
declare f text;
begin
  foreach f in array array['set_actor(uuid, uuid[])','enter(bytea)','enter_job(uuid)','find_sign_in(text)','password_of(uuid)',
    'open_session(bytea, uuid, timestamptz)','close_session(bytea)','practice_addresses(uuid)','practices_to_seal()',
    'practices_with_mail()','unsettled_arrivals()','all_practices()'] loop
    execute format('alter function %s owner to chordae_gate', f);
    execute format('revoke all on function %s from public', f);
  end loop;
end $$;
grant execute on function enter(bytea), find_sign_in(text), password_of(uuid), open_session(bytea, uuid, timestamptz),
  close_session(bytea) to chordae_app;
grant execute on function enter_job(uuid), practice_addresses(uuid), practices_to_seal(), practices_with_mail(),
  unsettled_arrivals(), all_practices() to chordae_worker;
-- The API settles arrivals after a crash, as a job of that practice.
grant execute on function unsettled_arrivals(), enter_job(uuid) to chordae_app;
grant usage on schema public to chordae_app, chordae_worker, chordae_gate;
grant select, insert, update on all tables in schema public to chordae_app, chordae_worker;
-- Nothing is deleted through the application, and a value once given changes only by being superseded.
revoke update on measurements, observations, originals, event_payloads, interim_answers from chordae_app, chordae_worker;
grant update (group_id) on measurements, observations to chordae_app, chordae_worker;
grant update (read_back_at, read_back_by) on interim_answers to chordae_app, chordae_worker;
revoke all on members, memberships, sessions from chordae_app, chordae_worker;
grant select on members, memberships to chordae_app;
grant usage on all sequences in schema public to chordae_app, chordae_worker;
