-- When a form was filled in, where it reached the server later (a phone without a signal). `at` stays the server's own time and keeps the order.
ALTER TABLE entries ADD COLUMN filled_in TEXT;
