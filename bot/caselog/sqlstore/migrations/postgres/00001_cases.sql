-- +goose Up
create table cases(
  number bigint generated always as identity primary key,
  opened bigint not null, closed bigint not null default 0, last_at bigint not null,
  opened_by text not null, site text not null default '', unit text not null default '',
  place text not null default '', refrigerant text not null default '', cause text not null default ''
);
create index cases_place on cases(place);
create table entries(
  case_number bigint not null references cases(number), seq bigint not null,
  at bigint not null, kind text not null, person text not null default '', channel text not null default '',
  provider_id text not null default '', body text not null default '', words text not null default '',
  primary key(case_number, seq)
);
create table people(name text primary key, state text not null);
create table inbox(
  id bigint generated always as identity primary key, src text not null, ext text not null, at bigint not null,
  unique(src, ext)
);
create table outbox(
  id bigint generated always as identity primary key, dest text not null, kind text not null, payload text not null, idem text not null unique,
  state text not null default 'ready', attempt bigint not null default 0, due_at bigint not null,
  lease_until bigint not null default 0, owner text not null default '', last_error text not null default ''
);
create index outbox_due on outbox(due_at, id) where state = 'ready';
create index outbox_dest on outbox(dest, id) where state in ('ready', 'leased');
-- +goose Down
drop table outbox; drop table inbox; drop table people; drop table entries; drop table cases;
