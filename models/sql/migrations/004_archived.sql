-- One row per delivery with an entry in the archive: the entry's own hash, so that an altered archive is found.
create table intake.archived (delivery_id integer not null, entry_hash varchar not null);
