-- planned_milestone: milestones of packages as they are planned now, as estimated or last replanned.
CREATE MACRO planned_milestone(upto) AS TABLE
SELECT *
FROM milestone_version(upto)
QUALIFY rank() OVER (
    PARTITION BY job, work_package
    ORDER BY counts_from DESC NULLS LAST, place DESC NULLS LAST
) = 1
