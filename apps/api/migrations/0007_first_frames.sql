-- First frames: a small masked picture of each file goes ahead of its bytes, so that a reader sees something of an urgent
-- case before its clips are there. It says nothing that the clip will not say, and goes when the clip is there.

-- What the file's own header says of patient and day, read before a byte was sent: for the practice only, as the arrival is.
alter table arrivals add column machine jsonb;

-- Who said that a file was filmed or photographed from a screen, while it was on its way; null where nobody did.
alter table arrivals add column filmed_by_name text;

create table first_frames (
  practice_id uuid not null,
  arrival_id uuid not null,
  -- Set when the referral is sent, never while what the file says differs from the patient.
  group_id uuid,
  referral_id uuid not null,
  view text,
  width_px integer not null,
  height_px integer not null,
  -- What was taken out of the picture before it left the computer of its sender; without a decision no picture comes.
  mask text not null check (mask in ('regions', 'box', 'no-name-confirmed')),
  -- The sender's own word on what may leave, for files that do not say it: given to the clip when it is read.
  decision jsonb,
  held text,
  -- JPEG; null once its clip is there, or will never be.
  picture bytea check (octet_length(picture) <= 65536),
  made_at timestamptz not null default app_now(),
  primary key (practice_id, arrival_id),
  foreign key (practice_id, arrival_id) references arrivals (practice_id, id),
  foreign key (practice_id, referral_id) references referrals (practice_id, id),
  check (held is null or group_id is null)
);
create index first_frames_referral on first_frames (practice_id, referral_id);
create index first_frames_group on first_frames (group_id);
alter table first_frames enable row level security;
alter table first_frames force row level security;
create policy tenant on first_frames using (practice_id = any (my_orgs()) or group_id = any (my_orgs()))
  with check (practice_id = any (my_orgs()) or group_id = any (my_orgs()));
grant select, insert, update on first_frames to chordae_app, chordae_worker;

-- A picture stands for a clip that is on its way, and for nothing else.
create function first_frame_goes() returns trigger language plpgsql as $$
begin
  update first_frames set picture = null where practice_id = new.practice_id and arrival_id = new.id and picture is not null;
  return null;
end $$;
create trigger arrivals_end_first_frame after update of state on arrivals for each row
  when (new.state in ('read', 'unreadable', 'duplicate')) execute function first_frame_goes();

-- Sending a referral opens its rows to the reading group: first frames as well.
create or replace function share_with_group(practice uuid, referral uuid, grp uuid) returns void language plpgsql set search_path = public as $$
begin
  update scan_referrals set group_id = grp where practice_id = practice and referral_id = referral;
  update scans s set group_id = grp from scan_referrals sr
    where sr.practice_id = practice and sr.referral_id = referral and s.practice_id = practice and s.id = sr.scan_id;
  update clips set group_id = grp where practice_id = practice and referral_id = referral and held is null;
  update packs p set group_id = grp from clips c
    where c.practice_id = practice and c.referral_id = referral and p.practice_id = practice and p.clip_id = c.id and p.kind = 'outgoing'
      and c.held is null;
  update first_frames set group_id = grp where practice_id = practice and referral_id = referral and held is null;
  update measurements set group_id = grp where practice_id = practice and referral_id = referral;
  update observations set group_id = grp where practice_id = practice and referral_id = referral;
  update interpretations set group_id = grp where practice_id = practice and referral_id = referral;
  update signed_reports set group_id = grp where practice_id = practice and referral_id = referral;
  update report_pdfs p set group_id = grp from signed_reports s
    where s.practice_id = practice and s.referral_id = referral and p.practice_id = practice and p.signed_id = s.id;
  update teaching_consents set group_id = grp where practice_id = practice and referral_id = referral;
end $$;
