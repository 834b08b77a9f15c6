-- What a machine's own structured report says, beside the file that brought it: for the practice only, as the arrival is.
alter table arrivals add column report jsonb;
