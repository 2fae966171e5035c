-- What was done about a billing difference, said at the command line; the latest row of a dispute counts.
create table shop.disputes (
    dispute_id varchar not null,
    -- sent, won or lost
    dispute_state varchar not null,
    marked_at timestamp not null,
    -- What the carrier agreed to give back; null where nothing was said.
    recovered_cents bigint
);
