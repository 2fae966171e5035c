-- The warehouse's ground: deliveries, rejected rows and the schemas that later steps fill.
create schema if not exists intake;
create schema if not exists accepted;
create schema if not exists superseded;
create schema if not exists rejected;
create schema if not exists shop;
create schema if not exists core;
create schema if not exists marts;
create schema if not exists analysis;

-- One row per landed file.
create table intake.deliveries (
    delivery_id integer not null,
    source_name varchar not null,
    kind varchar not null,
    file_name varchar not null,
    content_hash varchar not null,
    byte_count bigint not null,
    landed_at timestamp not null,
    row_count bigint not null,
    accepted_count bigint not null,
    corrected_count bigint not null,
    unchanged_count bigint not null,
    rejected_count bigint not null,
    dropped_columns varchar not null
);

-- One row per source row that broke its contract, kept until a later delivery resolves it.
create table rejected.rows (
    delivery_id integer not null,
    kind varchar not null,
    source_name varchar not null,
    row_number bigint not null,
    line_number bigint,
    -- A JSON object of the mapped columns only: header to text.
    source_text varchar not null,
    column_name varchar not null,
    reason varchar not null,
    -- The key as a JSON list where it could be read, so that a good row of this key resolves the rejection.
    row_key varchar,
    resolved_by integer
);

-- One row: what the last build saw, so that an unchanged warehouse is not built again.
create table intake.builds (fingerprint varchar not null);
