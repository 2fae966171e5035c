-- What was reported, to whom it went, and which scheduled runs are done. Instants are in UTC.
create schema if not exists outbox;

-- One row per report and distinct state of its facts.
create table outbox.editions (
    report varchar not null,
    edition integer not null,
    fingerprint varchar not null,
    made_at timestamp not null
);

-- One row per edition and headline amount, so that a later edition can say what changed.
create table outbox.headlines (
    report varchar not null,
    edition integer not null,
    measure varchar not null,
    amount double
);

-- One row per edition and recipient.
create table outbox.messages (
    message_id varchar not null,
    report varchar not null,
    edition integer not null,
    recipient varchar not null,
    -- queued, sending, sent, unsure or failed: models/delivery_attempts.py says what each means.
    state varchar not null,
    attempts integer not null,
    unanswered_count integer not null,
    queued_at timestamp not null,
    next_attempt_at timestamp,
    sent_at timestamp,
    last_error varchar not null
);

-- One row per scheduled run begun; due_on is its day on the shop's calendar. Not finished: it was cut off, or is at work.
create table outbox.runs (
    kind varchar not null,
    due_on date not null,
    started_at timestamp not null,
    finished_at timestamp,
    outcome varchar
);
