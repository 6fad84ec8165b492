-- +goose Up
create table cases(
  number integer primary key autoincrement,
  opened integer not null, closed integer not null default 0, last_at integer not null,
  opened_by text not null, site text not null default '', unit text not null default '',
  place text not null default '', refrigerant text not null default '', cause text not null default ''
) strict;
create index cases_place on cases(place);
create table entries(
  case_number integer not null references cases(number), seq integer not null,
  at integer not null, kind text not null, person text not null default '', channel text not null default '',
  provider_id text not null default '', body text not null default '', words text not null default '',
  primary key(case_number, seq)
) strict, without rowid;
create table people(name text primary key, state text not null) strict, without rowid;
create table inbox(
  id integer primary key autoincrement, src text not null, ext text not null, at integer not null,
  unique(src, ext)
) strict;
create table outbox(
  id integer primary key autoincrement, dest text not null, kind text not null, payload text not null, idem text not null unique,
  state text not null default 'ready', attempt integer not null default 0, due_at integer not null,
  lease_until integer not null default 0, owner text not null default '', last_error text not null default ''
) strict;
create index outbox_due on outbox(due_at, id) where state = 'ready';
create index outbox_dest on outbox(dest, id) where state in ('ready', 'leased');
-- +goose Down
drop table outbox; drop table inbox; drop table people; drop table entries; drop table cases;
