-- What a person asks the log, as plain views. Days are those of the session's time zone
-- (SET TIME ZONE 'Europe/Berlin'). Frozen: a change is a step of its own.

-- A body as jsonb. jsonb knows no NUL sign, JSON does: it becomes the sign for an unreadable one.
CREATE FUNCTION cleatclock.body_of(body text) RETURNS jsonb
    LANGUAGE sql IMMUTABLE PARALLEL SAFE
    AS $$
        SELECT CASE
            WHEN strpos(body, '\u0000') = 0 THEN body::jsonb
            ELSE regexp_replace(body, '(?<!\\)((?:\\\\)*)\\u0000', '\1\\ufffd', 'g')::jsonb
        END
    $$;

-- A number of a body; null where there is none, or none that a shop measures.
CREATE FUNCTION cleatclock.number_of(value jsonb) RETURNS double precision
    LANGUAGE sql IMMUTABLE PARALLEL SAFE
    AS $$
        SELECT CASE
            WHEN jsonb_typeof(value) IS DISTINCT FROM 'number' THEN NULL
            WHEN abs(value::numeric) < 1e6 THEN value::double precision
        END
    $$;

-- Milliseconds since 1970 as a body states them; null where it states none before the year 2100.
CREATE FUNCTION cleatclock.moment_of(value jsonb) RETURNS bigint
    LANGUAGE sql IMMUTABLE PARALLEL SAFE
    AS $$
        SELECT CASE
            WHEN jsonb_typeof(value) IS DISTINCT FROM 'number' OR value::text !~ '^[0-9]{1,13}$'
                THEN NULL
            WHEN value::text::bigint < 4102444800000 THEN value::text::bigint
        END
    $$;

-- The entries that count: struck ones are left out. at is when it happened: as stated for a late
-- scan, else by the kiosk's clock, but at most a minute after the server received it. Their order
-- is ordered_ms, c, kiosk, seq.
CREATE VIEW cleatclock.happened AS
SELECT e.shop, e.id, e.kiosk, e.seq, e.c, e.person, e.kind, e.job, e.unit, b.body,
    least(e.l, e.received_ms + 60000) AS ordered_ms,
    to_timestamp(coalesce(
        cleatclock.moment_of(b.body -> 'at_ms'),
        least(greatest(e.wall_ms, 0), 4102444800000, e.received_ms + 60000)
    ) / 1000.0) AS at
FROM cleatclock.entry e
CROSS JOIN LATERAL (SELECT cleatclock.body_of(e.body) AS body) b
WHERE NOT (
    e.kind IN ('step_done', 'hold_put', 'hold_lifted', 'part_spoiled', 'dryness_found',
        'air_read', 'rags_cleared')
    AND EXISTS (
        SELECT FROM cleatclock.entry s
        WHERE s.shop = e.shop AND s.kind = 'struck'
            AND cleatclock.body_of(s.body) ->> 'target' = e.id
    )
);

CREATE VIEW cleatclock.jobs AS
SELECT DISTINCT ON (shop, job) shop, job, kind = 'job_opened' AS is_open,
    body ->> 'name' AS name, body ->> 'site' AS site, body ->> 'hang_day' AS hang_day
FROM cleatclock.happened
WHERE kind IN ('job_opened', 'job_closed')
ORDER BY shop, job, ordered_ms DESC, c DESC, kiosk COLLATE "C" DESC, seq DESC;

-- The units as the latest list has them; is_gone where a later one no longer does.
CREATE VIEW cleatclock.units AS
SELECT DISTINCT ON (t.shop, t.job, t.unit) t.shop, t.job, t.unit,
    t.body ->> 'kind' AS unit_kind, t.body ->> 'name' AS name, t.body ->> 'finish' AS finish,
    t.body ->> 'wall' AS wall,
    EXISTS (
        SELECT FROM cleatclock.happened g
        WHERE g.kind = 'unit_gone' AND (g.shop, g.job, g.unit) = (t.shop, t.job, t.unit)
            AND (g.ordered_ms, g.c, g.kiosk COLLATE "C", g.seq)
                > (t.ordered_ms, t.c, t.kiosk COLLATE "C", t.seq)
    ) AS is_gone
FROM cleatclock.happened t
WHERE t.kind = 'unit_taken'
ORDER BY t.shop, t.job, t.unit, t.ordered_ms DESC, t.c DESC, t.kiosk COLLATE "C" DESC, t.seq DESC;

-- Each step once, by the entry that counts; part is empty where it was done to the whole unit.
CREATE VIEW cleatclock.steps_done AS
SELECT DISTINCT ON (s.shop, s.job, s.unit, s.part, s.step) s.*, u.unit_kind
FROM (
    SELECT shop, job, unit, coalesce(body ->> 'part', '') AS part,
        coalesce(body ->> 'step', '') AS step, at, at::date AS day, person, kiosk,
        coalesce(body ->> 'early', '') AS early, id, ordered_ms, c, seq
    FROM cleatclock.happened
    WHERE kind = 'step_done'
) s
LEFT JOIN cleatclock.units u USING (shop, job, unit)
ORDER BY s.shop, s.job, s.unit, s.part, s.step, s.ordered_ms, s.c, s.kiosk COLLATE "C", s.seq;

CREATE VIEW cleatclock.steps_per_day AS
SELECT shop, day, person, unit_kind, step, count(*) AS steps,
    count(DISTINCT (job, unit)) AS units
FROM cleatclock.steps_done
GROUP BY shop, day, person, unit_kind, step;

-- The step of each unit that happened last; nothing in step where there was none as yet.
CREATE VIEW cleatclock.unit_last_step AS
SELECT DISTINCT ON (u.shop, u.job, u.unit) u.shop, u.job, u.unit, u.unit_kind, s.step, s.at,
    s.person, s.kiosk, coalesce(j.is_open, true) AS job_is_open
FROM cleatclock.units u
LEFT JOIN cleatclock.steps_done s
    ON (s.shop, s.job, s.unit) = (u.shop, u.job, u.unit) AND s.part = ''
LEFT JOIN cleatclock.jobs j ON (j.shop, j.job) = (u.shop, u.job)
WHERE NOT u.is_gone
ORDER BY u.shop, u.job, u.unit, s.at DESC NULLS LAST, s.ordered_ms, s.c, s.kiosk COLLATE "C",
    s.seq;

CREATE VIEW cleatclock.coats_per_unit AS
SELECT u.shop, u.job, u.unit, u.unit_kind, u.finish, count(DISTINCT s.step) AS coats,
    max(s.at) AS last_at
FROM cleatclock.units u
LEFT JOIN cleatclock.steps_done s
    ON (s.shop, s.job, s.unit) = (u.shop, u.job, u.unit) AND s.step ~ '^coat-[0-9]+$'
WHERE NOT u.is_gone
GROUP BY u.shop, u.job, u.unit, u.unit_kind, u.finish;

-- From one scan of a step to the person's next on the same day; whoever is not named goes by the
-- kiosk. Breaks and rests are still in it, and scans made up for later (early says so).
CREATE VIEW cleatclock.touch_intervals AS
SELECT h.shop, h.person, h.kiosk, h.job, h.unit, u.unit_kind, h.body ->> 'step' AS step,
    coalesce(h.body ->> 'part', '') AS part, coalesce(h.body ->> 'early', '') AS early,
    h.before_at, h.at, extract(epoch FROM h.at - h.before_at)::double precision / 60 AS minutes
FROM (
    SELECT *, lag(at) OVER (
        PARTITION BY shop, person, CASE person WHEN '' THEN kiosk END, at::date
        ORDER BY at, ordered_ms, c, kiosk COLLATE "C", seq
    ) AS before_at
    FROM cleatclock.happened
    WHERE kind = 'step_done'
) h
LEFT JOIN cleatclock.units u USING (shop, job, unit)
WHERE h.before_at IS NOT NULL;

-- One reading a moment: of two the one whose entry is later counts. job is empty for the shop's
-- own air. Readings that no shop can have are left out: -20 to 60 °C, above 0 to 100 %, 10 m/s.
CREATE VIEW cleatclock.air_readings AS
SELECT DISTINCT ON (shop, job, at_ms) shop, job, to_timestamp(at_ms / 1000.0) AS at,
    temperature_c, humidity, surface_c, speed_m_s, source, id, kiosk
FROM (
    SELECT h.shop, h.job, h.id, h.kiosk, h.seq, h.c, h.ordered_ms, r.place,
        coalesce(h.body ->> 'source', '') AS source,
        cleatclock.moment_of(r.row -> 0) AS at_ms,
        cleatclock.number_of(r.row -> 1) AS temperature_c,
        cleatclock.number_of(r.row -> 2) AS humidity,
        cleatclock.number_of(r.row -> 3) AS surface_c,
        cleatclock.number_of(r.row -> 4) AS speed_m_s,
        CASE jsonb_typeof(r.row) WHEN 'array' THEN jsonb_array_length(r.row) END = 5
            AND (r.row -> 3 = 'null' OR cleatclock.number_of(r.row -> 3) BETWEEN -20 AND 60)
            AND (r.row -> 4 = 'null' OR cleatclock.number_of(r.row -> 4) BETWEEN 0 AND 10)
            AS is_sound
    FROM cleatclock.happened h
    CROSS JOIN LATERAL jsonb_array_elements(
        CASE jsonb_typeof(h.body -> 'readings') WHEN 'array' THEN h.body -> 'readings'
            ELSE '[]' END
    ) WITH ORDINALITY AS r (row, place)
    WHERE h.kind = 'air_read' AND h.unit = ''
) found
WHERE is_sound AND at_ms IS NOT NULL AND temperature_c BETWEEN -20 AND 60
    AND humidity > 0 AND humidity <= 100
ORDER BY shop, job, at_ms, ordered_ms DESC, c DESC, kiosk COLLATE "C" DESC, seq DESC, place DESC;

GRANT USAGE ON SCHEMA cleatclock TO cleatclock_report;
GRANT SELECT ON cleatclock.happened, cleatclock.jobs, cleatclock.units, cleatclock.steps_done,
    cleatclock.steps_per_day, cleatclock.unit_last_step, cleatclock.coats_per_unit,
    cleatclock.touch_intervals, cleatclock.air_readings TO cleatclock_report;
