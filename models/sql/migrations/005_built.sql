-- What the last build rested on: where records alone have changed since, only the months they touch are built again.
alter table intake.builds add column grounds varchar;
alter table intake.builds add column delivery_id integer;

-- One row per record kind: how many accepted rows the last build saw.
create table intake.built_counts (kind varchar not null, row_count bigint not null);
