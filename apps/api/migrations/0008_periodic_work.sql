-- Which practices have events that are not sealed yet: asked of each practice once, by its newest seal. The first form
-- looked through all seals of a practice for each of its events, and with some thousands of both took seconds each second.
create or replace function practices_to_seal() returns setof uuid language sql stable security definer set search_path = public as
$$ select p.id from practices p
    where exists (
      select 1 from events e
       where e.practice_id = p.id
         and e.xid < pg_snapshot_xmin(pg_current_snapshot())
         and e.xid > coalesce(
           (select s.upto_xid from seals s where s.practice_id = p.id order by s.id desc limit 1), '0'::xid8)) $$;

-- What the worker asks for again and again is a handful of rows among all that ever were.
create index arrivals_open on arrivals (practice_id, id) where state in ('expected', 'arriving');
create index mails_waiting on mails (practice_id) where state = 'waiting';
