-- package_version: packages as estimated (name null) and as each baseline change replans them, by trade.
CREATE MACRO package_version(upto) AS TABLE
SELECT
    job,
    NULL::VARCHAR AS name,
    NULL::DATE AS counts_from,
    NULL::BIGINT AS place,
    work_package,
    trade,
    title,
    control_account,
    technique,
    spread,
    quantity,
    unit,
    start_share,
    base_package,
    cost_rate,
    package_kind,
    work_kind,
    planned_start,
    planned_finish,
    budget_ms
FROM current_work_package(upto)
UNION ALL
SELECT
    r.job,
    r.name,
    b.day AS counts_from,
    greatest(b.place, r.place_batch) AS place,
    r.work_package,
    r.trade,
    r.title,
    r.control_account,
    r.technique,
    r.spread,
    r.quantity,
    r.unit,
    r.start_share,
    r.base_package,
    r.cost_rate,
    r.package_kind,
    r.work_kind,
    r.planned_start,
    r.planned_finish,
    r.budget_ms
FROM current_replanned_package(upto) AS r
INNER JOIN rebaselined(upto) AS b ON b.job = r.job AND b.name = r.name
