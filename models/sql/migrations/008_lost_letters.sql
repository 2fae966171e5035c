-- Whether the owner was told that a letter is lost: that it failed, or that nobody knows whether it arrived.
alter table outbox.messages add column is_reported boolean default false;
