-- The log of all kiosks. Every key begins with the shop, so that a large installation can part the
-- tables by it. Frozen: a change is a step of its own.

CREATE TABLE cleatclock.shop (
    shop text PRIMARY KEY CHECK (shop <> ''),
    made_ms bigint NOT NULL
);

-- role is the login of the kiosk; a removed kiosk keeps its letter, as its codes are on parts.
CREATE TABLE cleatclock.kiosk (
    shop text NOT NULL REFERENCES cleatclock.shop,
    letter text NOT NULL,
    role text NOT NULL,
    name text NOT NULL,
    given_ms bigint NOT NULL,
    removed_ms bigint,
    PRIMARY KEY (shop, letter),
    UNIQUE (shop, role)
);
CREATE INDEX kiosk_role ON cleatclock.kiosk (role);

-- body is the text whose hash stands in chain, so it is kept to the letter, not as jsonb.
-- received_ms is the server's clock: kiosks may not write it.
CREATE TABLE cleatclock.entry (
    shop text NOT NULL REFERENCES cleatclock.shop,
    id text NOT NULL,
    kiosk text NOT NULL,
    seq bigint NOT NULL CHECK (seq > 0),
    l bigint NOT NULL,
    c bigint NOT NULL,
    wall_ms bigint NOT NULL,
    received_ms bigint NOT NULL
        DEFAULT (extract(epoch FROM clock_timestamp()) * 1000)::bigint,
    person text NOT NULL,
    kind text NOT NULL,
    job text NOT NULL,
    unit text NOT NULL,
    body text NOT NULL CHECK (json_typeof(body::json) = 'object'),
    chain text NOT NULL,
    PRIMARY KEY (shop, id),
    UNIQUE (shop, kiosk, seq)
);

-- Who is logged in, by the login itself: SET ROLE changes nothing about it. They read the table of
-- kiosks as its owner, as its own row policy asks them.
CREATE FUNCTION cleatclock.own_shop() RETURNS text
    LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog
    AS 'SELECT shop FROM cleatclock.kiosk WHERE role = session_user AND removed_ms IS NULL';
CREATE FUNCTION cleatclock.own_letter() RETURNS text
    LANGUAGE sql STABLE SECURITY DEFINER SET search_path = pg_catalog
    AS 'SELECT letter FROM cleatclock.kiosk WHERE role = session_user AND removed_ms IS NULL';
REVOKE ALL ON FUNCTION cleatclock.own_shop(), cleatclock.own_letter() FROM PUBLIC;

-- A kiosk reads its own shop, and writes in its own letter only. The questions stand in brackets
-- so that they are asked once a statement, not once a row.
ALTER TABLE cleatclock.shop ENABLE ROW LEVEL SECURITY;
ALTER TABLE cleatclock.kiosk ENABLE ROW LEVEL SECURITY;
ALTER TABLE cleatclock.entry ENABLE ROW LEVEL SECURITY;
CREATE POLICY kiosk_reads ON cleatclock.kiosk FOR SELECT TO cleatclock_kiosk
    USING (shop = (SELECT cleatclock.own_shop()));
CREATE POLICY entry_reads ON cleatclock.entry FOR SELECT TO cleatclock_kiosk
    USING (shop = (SELECT cleatclock.own_shop()));
CREATE POLICY entry_writes ON cleatclock.entry FOR INSERT TO cleatclock_kiosk
    WITH CHECK (shop = (SELECT cleatclock.own_shop())
        AND kiosk = (SELECT cleatclock.own_letter()));

GRANT USAGE ON SCHEMA cleatclock TO cleatclock_kiosk;
GRANT EXECUTE ON FUNCTION cleatclock.own_shop(), cleatclock.own_letter() TO cleatclock_kiosk;
GRANT SELECT ON cleatclock.kiosk, cleatclock.entry TO cleatclock_kiosk;
GRANT INSERT (shop, id, kiosk, seq, l, c, wall_ms, person, kind, job, unit, body, chain)
    ON cleatclock.entry TO cleatclock_kiosk;
