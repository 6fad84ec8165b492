-- +goose Up
-- Times are unix milliseconds (null: never), JSON is text, booleans are 0 and 1.
create table counter (name text primary key, value integer not null) strict;
insert into counter values ('case', 0);

create table cases (
  number integer primary key, site text not null, unit text not null, refrigerant text not null,
  person text not null, opened integer not null, last integer not null, closed integer,
  cause text not null, standing text not null, thread text not null, place text not null, entries integer not null
) strict;
create index cases_place on cases (place);
create index cases_thread on cases (thread) where thread <> '';

create table entries (
  case_no integer not null references cases, seq integer not null, at integer not null, kind text not null,
  person text not null, channel text not null, provider_id text not null, text text not null, body text,
  primary key (case_no, seq)
) strict;

create table people (name text primary key, state text not null) strict;

create table visits (
  case_no integer not null references cases, visit integer not null, due integer not null, wanted text not null,
  person text not null, zone text not null, reminded integer, overdue integer, done integer,
  primary key (case_no, visit)
) strict;
create index visits_open on visits (due) where done is null;

create table media (sha256 text primary key, type text not null, bytes blob not null) strict;
create table notes (key text primary key, text text not null) strict;

create table inbox (
  id integer primary key autoincrement, src text not null, ext text not null, person text not null,
  body text not null, at integer not null, unique (src, ext)
) strict;

create table outbox (
  id integer primary key autoincrement, dest text not null, kind text not null, payload text not null,
  idem text not null unique, case_no integer not null, state text not null, attempt integer not null,
  due_at integer not null, first_at integer, lease_until integer, owner text not null, last_error text not null
) strict;
create index outbox_due on outbox (due_at, id) where state in ('ready','leased');
create index outbox_dest on outbox (dest, id) where state in ('ready','leased');
create index outbox_dead on outbox (id) where state = 'dead';

-- +goose Down
drop table outbox; drop table inbox; drop table notes; drop table media; drop table visits;
drop table people; drop table entries; drop table cases; drop table counter;
