-- +goose Up
-- Times are unix milliseconds (null: never), JSON is text, booleans are 0 and 1.
create table counter (name text primary key, value bigint not null);
insert into counter values ('case', 0);

create table cases (
  number bigint primary key, site text not null, unit text not null, refrigerant text not null,
  person text not null, opened bigint not null, last bigint not null, closed bigint,
  cause text not null, standing text not null, thread text not null, place text not null, entries bigint not null
);
create index cases_place on cases (place);
create index cases_thread on cases (thread) where thread <> '';

create table entries (
  case_no bigint not null references cases, seq bigint not null, at bigint not null, kind text not null,
  person text not null, channel text not null, provider_id text not null, text text not null, body text,
  primary key (case_no, seq)
);

create table people (name text primary key, state text not null);

create table visits (
  case_no bigint not null references cases, visit bigint not null, due bigint not null, wanted text not null,
  person text not null, zone text not null, reminded bigint, overdue bigint, done bigint,
  primary key (case_no, visit)
);
create index visits_open on visits (due) where done is null;

create table media (sha256 text primary key, type text not null, bytes bytea not null);
create table notes (key text primary key, text text not null);

create table inbox (
  id bigint generated always as identity primary key, src text not null, ext text not null, person text not null,
  body text not null, at bigint not null, unique (src, ext)
);

create table outbox (
  id bigint generated always as identity primary key, dest text not null, kind text not null, payload text not null,
  idem text not null unique, case_no bigint not null, state text not null, attempt bigint not null,
  due_at bigint not null, first_at bigint, lease_until bigint, owner text not null, last_error text not null
);
create index outbox_due on outbox (due_at, id) where state in ('ready','leased');
create index outbox_dest on outbox (dest, id) where state in ('ready','leased');
create index outbox_dead on outbox (id) where state = 'dead';

-- +goose Down
drop table outbox; drop table inbox; drop table notes; drop table media; drop table visits;
drop table people; drop table entries; drop table cases; drop table counter;
