-- planned_package: packages by trade as they are planned now: as estimated, or as last replanned.
CREATE MACRO planned_package(upto) AS TABLE
SELECT *
FROM package_version(upto)
QUALIFY rank() OVER (
    PARTITION BY job, work_package
    ORDER BY counts_from DESC NULLS LAST, place DESC NULLS LAST
) = 1
