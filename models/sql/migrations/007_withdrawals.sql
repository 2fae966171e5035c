-- One row per delivery that was taken back. withdrawal_id counts on with the deliveries, so that both have one order.
create table intake.withdrawals (
    withdrawal_id integer not null,
    delivery_id integer not null,
    withdrawn_at timestamp not null,
    taken_back_count bigint not null,
    restored_count bigint not null
);
