-- Keys by which a practice's own machine may send files, and nothing else.
create table machine_keys (
  practice_id uuid not null references practices (id),
  id uuid not null,
  name text not null,
  -- Only the hash is kept: the key itself is shown once.
  key_hash bytea not null,
  made_by uuid not null,
  made_by_name text not null,
  made_at timestamptz not null default app_now(),
  last_used_at timestamptz,
  revoked_at timestamptz,
  revoked_by_name text,
  primary key (practice_id, id)
);
create unique index machine_keys_hash on machine_keys (key_hash);
alter table machine_keys enable row level security;
alter table machine_keys force row level security;
create policy practice_only on machine_keys using (practice_id = any (my_orgs())) with check (practice_id = any (my_orgs()));
create policy gate_all on machine_keys to chordae_gate using (true) with check (true);
grant select, update (last_used_at) on machine_keys to chordae_gate;
grant select, insert, update (revoked_at, revoked_by_name) on machine_keys to chordae_app;

-- A key opens exactly its practice, for no member: what it may call there is decided above the rows.
create function enter_machine(hash bytea) returns table (practice_id uuid, id uuid, name text)
language plpgsql security definer set search_path = public as $$
declare found machine_keys;
begin
  select * into found from machine_keys k where k.key_hash = hash and k.revoked_at is null;
  if found.id is null then return; end if;
  update machine_keys k set last_used_at = app_now() where k.practice_id = found.practice_id and k.id = found.id
    and (k.last_used_at is null or k.last_used_at < app_now() - interval '1 minute');
  perform set_actor(null, array[found.practice_id]);
  return query select found.practice_id, found.id, found.name;
end $$;
alter function enter_machine(bytea) owner to chordae_gate;
revoke all on function enter_machine(bytea) from public;
grant execute on function enter_machine(bytea) to chordae_app;
