-- A letter that was handed over without a clear answer goes out again only when the owner asks for it.
update outbox.messages
set
    state = 'unsure',
    unanswered_count = unanswered_count + case state when 'sending' then 1 else 0 end,
    next_attempt_at = null
where state = 'sending' or (state = 'queued' and unanswered_count > 0);
