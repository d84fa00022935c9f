-- Enters a scope and reads in it, as one statement: what surrounds a read otherwise (BEGIN, the settings, COMMIT)
-- costs more than the read. It runs as app_service, so the policies hold for it as for every other statement.
CREATE FUNCTION read_resource(clinic text, partner text, moment text, kind text, key text)
RETURNS TABLE (
	"type" text, "id" text, "version" integer, "partnerId" uuid, "deleted" boolean, "body" text,
	"updatedAt" text, "patientId" text
) LANGUAGE plpgsql VOLATILE SECURITY DEFINER ROWS 1 AS $$
BEGIN
	PERFORM set_config('app.clinic', clinic, true), set_config('app.partner', partner, true),
		set_config('app.now', moment, true);
	RETURN QUERY SELECT r.type, r.id, r.version, r.partner_id, r.deleted, r.body,
		to_char(r.updated_at AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"'), r.patient_id
		FROM public.resources r
		WHERE r.clinic_id = clinic::uuid AND r.type = kind AND r.id = key;
END $$;--> statement-breakpoint
REVOKE EXECUTE ON FUNCTION read_resource(text, text, text, text, text) FROM PUBLIC;--> statement-breakpoint
-- An owner of a function must be able to create in its schema; only for as long as this takes.
GRANT CREATE ON SCHEMA public TO app_service;--> statement-breakpoint
ALTER FUNCTION read_resource(text, text, text, text, text) OWNER TO app_service;--> statement-breakpoint
REVOKE CREATE ON SCHEMA public FROM app_service;
