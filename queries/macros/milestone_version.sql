-- milestone_version: milestones as estimated (name null) and as each baseline change replans them.
CREATE MACRO milestone_version(upto) AS TABLE
SELECT
    job,
    NULL::VARCHAR AS name,
    NULL::DATE AS counts_from,
    NULL::BIGINT AS place,
    work_package,
    milestone,
    weight,
    planned_date
FROM current_milestone(upto)
UNION ALL
SELECT
    r.job,
    r.name,
    b.day AS counts_from,
    greatest(b.place, r.place_batch) AS place,
    r.work_package,
    r.milestone,
    r.weight,
    r.planned_date
FROM current_replanned_milestone(upto) AS r
INNER JOIN rebaselined(upto) AS b ON b.job = r.job AND b.name = r.name
