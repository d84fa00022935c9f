-- The same as before with less to do for each row: only the first of a chain makes the chain known.
CREATE OR REPLACE FUNCTION append_audit(
	clinic uuid, chain uuid, instants timestamptz[], places bigint[], keys uuid[], records text[],
	before bytea[], hashes bytea[]
) RETURNS void LANGUAGE plpgsql VOLATILE SECURITY DEFINER AS $$
BEGIN
	PERFORM set_config('app.clinic', clinic::text, true);
	IF places[1] = 1 THEN
		INSERT INTO public.audit_writers (clinic_id, writer, started_at) VALUES (clinic, chain, instants[1]);
	END IF;
	INSERT INTO public.audit_log (clinic_id, writer, recorded, sequence, id, record, previous, hash)
		SELECT clinic, chain, added.* FROM unnest(instants, places, keys, records, before, hashes) AS added;
END $$;
