-- A claim that was opened at the command line, before any record of claims names it.
create table shop.claim_openings (
    claim_id varchar not null,
    parcel_id varchar not null,
    opened_on date not null,
    claim_cause varchar not null,
    damaged_part varchar,
    opened_at timestamp not null,
    -- The last delivery or withdrawal before it: the next build takes up what was said since its own.
    delivery_id integer not null
);

-- What was said of a claim at the command line, one row per step; the latest of a claim counts, and says all of it.
create table shop.claim_marks (
    claim_id varchar not null,
    parcel_id varchar not null,
    claim_state varchar not null,
    last_step_on date not null,
    filed_on date,
    decided_on date,
    appealed_on date,
    delivered_on date,
    claimed_cents bigint,
    paid_cents bigint,
    refund_cents bigint,
    replacement_cents bigint,
    return_cost_cents bigint,
    salvage_cents bigint,
    marked_at timestamp not null,
    delivery_id integer not null
);
