-- Adds rows to the log of a clinic as one statement, committed when it ends: what surrounds it otherwise (BEGIN, the
-- settings, COMMIT) costs more than the rows. It runs as app_service, so the policies hold for it.
CREATE FUNCTION append_audit(
	clinic uuid, chain uuid, instants timestamptz[], places bigint[], keys uuid[], records text[],
	before bytea[], hashes bytea[]
) RETURNS void LANGUAGE plpgsql VOLATILE SECURITY DEFINER AS $$
BEGIN
	PERFORM set_config('app.clinic', clinic::text, true);
	WITH added AS (
		SELECT * FROM unnest(instants, places, keys, records, before, hashes)
			AS row(recorded, sequence, id, record, previous, hash)
	), begun AS (
		INSERT INTO public.audit_writers (clinic_id, writer, started_at)
		SELECT clinic, chain, recorded FROM added WHERE sequence = 1
	)
	INSERT INTO public.audit_log (clinic_id, writer, recorded, sequence, id, record, previous, hash)
	SELECT clinic, chain, recorded, sequence, id, record, previous, hash FROM added;
END $$;--> statement-breakpoint
REVOKE EXECUTE ON FUNCTION append_audit(uuid, uuid, timestamptz[], bigint[], uuid[], text[], bytea[], bytea[]) FROM PUBLIC;--> statement-breakpoint
GRANT CREATE ON SCHEMA public TO app_service;--> statement-breakpoint
ALTER FUNCTION append_audit(uuid, uuid, timestamptz[], bigint[], uuid[], text[], bytea[], bytea[]) OWNER TO app_service;--> statement-breakpoint
REVOKE CREATE ON SCHEMA public FROM app_service;
