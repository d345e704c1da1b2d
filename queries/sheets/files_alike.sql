-- files_alike: the files named.
-- In:  $batches BIGINT[]; $file_rows BIGINT[]
-- Out: batch BIGINT; file_row BIGINT
SELECT unnest($batches::BIGINT[]) AS batch, unnest($file_rows::BIGINT[]) AS file_row
ORDER BY batch, file_row
