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

-- The entries that count: struck ones are left out, and with an answer that counts no more all it
-- brought about, its strikes too. Of two answers to one question, given without knowing of each
-- other, the first counts, unless a person chose; of three or more, and of two such choices, the
-- program knows better. at is when it happened: as stated for a late scan, else by the kiosk's
-- clock, but at most a minute after the server received it. Their order is ordered_ms, l, c, kiosk,
-- seq. NOT IN: what it asks is gathered once and looked up for each entry, whatever the planner
-- thinks of it.
CREATE VIEW cleatclock.happened AS
WITH told AS MATERIALIZED (
    SELECT e.shop, e.id, e.kind = 'struck' AS is_strike,
        b.body ->> 'target' AS target, coalesce(b.body ->> 'answer', '') AS answer,
        coalesce(b.body -> 'back' = 'true', false) AS takes_back,
        coalesce(b.body ->> 'question', '') AS question, b.body -> 'after' AS after,
        row_number() OVER (
            ORDER BY least(e.l, e.received_ms + 60000), e.l, e.c, e.kiosk COLLATE "C", e.seq
        ) AS place
    FROM cleatclock.entry e
    CROSS JOIN LATERAL (SELECT cleatclock.body_of(e.body) AS body) b
    WHERE e.kind IN ('struck', 'question_answered')
),
-- struck by hand; and the answers by which a person chose between two answers
by_hand AS MATERIALIZED (
    SELECT shop, target AS id FROM told WHERE is_strike AND answer = '' AND target IS NOT NULL
),
chosen AS MATERIALIZED (
    SELECT shop, id FROM told WHERE NOT is_strike AND question LIKE 'answers:%'
    UNION SELECT shop, answer FROM told WHERE is_strike AND takes_back AND answer <> ''
),
-- what was struck by hand or by such a choice, as far as the choice was not taken back
back AS MATERIALIZED (
    SELECT shop, id FROM by_hand
    UNION SELECT shop, target FROM told
    WHERE is_strike AND target IS NOT NULL AND (shop, answer) IN (SELECT shop, id FROM chosen)
        AND (shop, answer) NOT IN (SELECT shop, id FROM by_hand)
),
-- the answers that count: not struck
given AS MATERIALIZED (
    SELECT * FROM told
    WHERE NOT is_strike AND (shop, id) NOT IN (SELECT shop, id FROM back)
        AND (shop, id) NOT IN (SELECT shop, id FROM chosen)
),
lost AS MATERIALIZED (
    SELECT shop, id FROM back
    UNION SELECT later.shop, later.id
    FROM given later JOIN given first USING (shop, question)
    WHERE first.place < later.place
        AND NOT coalesce(later.after @> to_jsonb(first.id), false)
),
struck AS MATERIALIZED (
    SELECT shop, id FROM back
    UNION SELECT shop, target FROM told
    WHERE is_strike AND target IS NOT NULL AND answer <> ''
        AND (shop, answer) NOT IN (SELECT shop, id FROM lost)
)
SELECT e.shop, e.id, e.kiosk, e.seq, e.l, e.c, e.person, e.kind, e.job, e.unit, b.body,
    least(e.l, e.received_ms + 60000) AS ordered_ms,
    to_timestamp(coalesce(
        cleatclock.moment_of(b.body -> 'at_ms'),
        least(greatest(e.wall_ms, 0), 4102444800000, e.received_ms + 60000)
    ) / 1000.0) AS at
FROM cleatclock.entry e
CROSS JOIN LATERAL (SELECT cleatclock.body_of(e.body) AS body) b
WHERE (
        e.kind NOT IN ('step_done', 'hold_put', 'hold_lifted', 'part_spoiled', 'dryness_found',
            'air_read', 'rags_cleared', 'question_answered')
        OR (e.shop, e.id) NOT IN (SELECT shop, id FROM struck)
    )
    AND (e.kind <> 'question_answered' OR (e.shop, e.id) NOT IN (SELECT shop, id FROM lost))
    -- few entries are brought about by an answer: only their bodies are read to see which
    AND (e.kind = 'question_answered' OR strpos(e.body, '"answer"') = 0
        OR (e.shop, coalesce(b.body ->> 'answer', '')) NOT IN (SELECT shop, id FROM lost));

-- The same, each with what is known by now of its unit and job: from the unit's latest list, and
-- whether a later one no longer has it (nothing where no list named it). Found by sorting, not by
-- joining: what stands in a body tells the planner nothing, and a join of these views that it takes
-- for a small one may need minutes.
CREATE VIEW cleatclock.in_context AS
SELECT shop, id, kiosk, seq, l, c, person, kind, job, unit, body, ordered_ms, at,
    listed ->> 'kind' AS unit_kind, listed ->> 'finish' AS finish,
    CASE WHEN listed IS NOT NULL THEN last_listing = 'unit_gone' END AS is_gone,
    last_of_job <> 'job_closed' AS job_is_open
FROM (
    SELECT h.*,
        first_value(CASE WHEN kind = 'unit_taken' THEN body END) OVER lists AS listed,
        first_value(kind) OVER listings AS last_listing,
        first_value(kind) OVER jobs AS last_of_job
    FROM cleatclock.happened h
    WINDOW
        lists AS (PARTITION BY shop, job, unit ORDER BY kind = 'unit_taken' DESC,
            ordered_ms DESC, l DESC, c DESC, kiosk COLLATE "C" DESC, seq DESC),
        listings AS (PARTITION BY shop, job, unit ORDER BY kind IN ('unit_taken', 'unit_gone') DESC,
            ordered_ms DESC, l DESC, c DESC, kiosk COLLATE "C" DESC, seq DESC),
        jobs AS (PARTITION BY shop, job ORDER BY kind IN ('job_opened', 'job_closed') DESC,
            ordered_ms DESC, l DESC, c DESC, kiosk COLLATE "C" DESC, seq DESC)
) known;

CREATE VIEW cleatclock.jobs AS
SELECT DISTINCT ON (shop, job) shop, job, kind = 'job_opened' AS is_open,
    body ->> 'name' AS name, body ->> 'site' AS site, body ->> 'hang_day' AS hang_day
FROM cleatclock.happened
WHERE kind IN ('job_opened', 'job_closed')
ORDER BY shop, job, ordered_ms DESC, l DESC, c DESC, kiosk COLLATE "C" DESC, seq DESC;

-- The units as the latest list has them; is_gone where a later one no longer does.
CREATE VIEW cleatclock.units AS
SELECT shop, job, unit, body ->> 'kind' AS unit_kind, body ->> 'name' AS name,
    body ->> 'finish' AS finish, body ->> 'wall' AS wall, last_kind = 'unit_gone' AS is_gone
FROM (
    SELECT DISTINCT ON (shop, job, unit) *
    FROM (
        SELECT *, first_value(kind) OVER (
            PARTITION BY shop, job, unit
            ORDER BY ordered_ms DESC, l DESC, c DESC, kiosk COLLATE "C" DESC, seq DESC
        ) AS last_kind
        FROM cleatclock.happened
        WHERE kind IN ('unit_taken', 'unit_gone')
    ) listed
    ORDER BY shop, job, unit, kind = 'unit_taken' DESC, ordered_ms DESC, l DESC, c DESC,
        kiosk COLLATE "C" DESC, seq DESC
) last
WHERE kind = 'unit_taken';

-- Each step once, by the entry that counts; part is empty where it was done to the whole unit.
CREATE VIEW cleatclock.steps_done AS
SELECT DISTINCT ON (shop, job, unit, part, step) *
FROM (
    SELECT shop, job, unit, coalesce(body ->> 'part', '') AS part,
        coalesce(body ->> 'step', '') AS step, at, at::date AS day, person, kiosk,
        coalesce(body ->> 'early', '') AS early, id, ordered_ms, l, c, seq, unit_kind, is_gone,
        job_is_open
    FROM cleatclock.in_context
    WHERE kind = 'step_done'
) steps
ORDER BY shop, job, unit, part, step, ordered_ms, l, c, kiosk COLLATE "C", seq;

CREATE VIEW cleatclock.steps_per_day AS
SELECT shop, day, person, unit_kind, step, count(*) AS steps,
    count(DISTINCT (job, unit)) AS units
FROM cleatclock.steps_done
GROUP BY shop, day, person, unit_kind, step;

-- The step of each unit that happened last; nothing in step where there was none as yet.
CREATE VIEW cleatclock.unit_last_step AS
SELECT DISTINCT ON (shop, job, unit) shop, job, unit, unit_kind, step, at, person, kiosk,
    job_is_open
FROM (
    SELECT shop, job, unit, unit_kind, step, at, person, kiosk, job_is_open, ordered_ms, l, c, seq
    FROM cleatclock.steps_done
    WHERE part = '' AND NOT is_gone
    UNION ALL
    SELECT shop, job, unit, unit_kind, NULL, NULL, NULL, NULL, job_is_open, NULL, NULL, NULL, NULL
    FROM cleatclock.in_context
    WHERE kind = 'unit_taken' AND NOT is_gone
) steps
ORDER BY shop, job, unit, at DESC NULLS LAST, ordered_ms, l, c, kiosk COLLATE "C", seq;

CREATE VIEW cleatclock.coats_per_unit AS
SELECT shop, job, unit, max(unit_kind) AS unit_kind, max(finish) AS finish,
    count(DISTINCT step) AS coats, max(at) AS last_at
FROM (
    SELECT shop, job, unit, NULL AS unit_kind, NULL AS finish, step, at
    FROM cleatclock.steps_done
    WHERE step ~ '^coat-[0-9]+$' AND NOT is_gone
    UNION ALL
    SELECT shop, job, unit, unit_kind, finish, NULL, NULL
    FROM cleatclock.in_context
    WHERE kind = 'unit_taken' AND NOT is_gone
) coats
GROUP BY shop, job, unit;

-- From one scan of a step to the person's next on the same day; whoever is not named goes by the
-- kiosk. Breaks and rests are still in it, and scans made up for later (early says so).
CREATE VIEW cleatclock.touch_intervals AS
SELECT shop, person, kiosk, job, unit, unit_kind, body ->> 'step' AS step,
    coalesce(body ->> 'part', '') AS part, coalesce(body ->> 'early', '') AS early,
    before_at, at, extract(epoch FROM at - before_at)::double precision / 60 AS minutes
FROM (
    SELECT *, lag(at) OVER (
        PARTITION BY shop, person, CASE person WHEN '' THEN kiosk END, at::date
        ORDER BY at, ordered_ms, l, c, kiosk COLLATE "C", seq
    ) AS before_at
    FROM cleatclock.in_context
    WHERE kind = 'step_done'
) scans
WHERE before_at IS NOT NULL;

-- One reading a moment: of two the one whose entry is later counts. job is empty for the shop's
-- own air. Readings that no shop can have are left out: -20 to 60 °C, above 0 to 100 %, 10 m/s.
CREATE VIEW cleatclock.air_readings AS
SELECT DISTINCT ON (shop, job, at_ms) shop, job, to_timestamp(at_ms / 1000.0) AS at,
    temperature_c, humidity, surface_c, speed_m_s, source, id, kiosk
FROM (
    SELECT h.shop, h.job, h.id, h.kiosk, h.seq, h.l, h.c, h.ordered_ms, r.place,
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
ORDER BY shop, job, at_ms, ordered_ms DESC, l DESC, c DESC, kiosk COLLATE "C" DESC, seq DESC, place DESC;

GRANT USAGE ON SCHEMA cleatclock TO cleatclock_report;
GRANT SELECT ON cleatclock.happened, cleatclock.in_context, cleatclock.jobs, cleatclock.units,
    cleatclock.steps_done, cleatclock.steps_per_day, cleatclock.unit_last_step,
    cleatclock.coats_per_unit, cleatclock.touch_intervals, cleatclock.air_readings
    TO cleatclock_report;
