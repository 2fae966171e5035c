-- The number of the last delivery or withdrawal, which are counted together; 0 where there is none.
select greatest(
    coalesce((select max(d.delivery_id) from intake.deliveries as d), 0),
    coalesce((select max(w.withdrawal_id) from intake.withdrawals as w), 0)
) as last_number
