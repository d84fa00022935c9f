-- What a token's scopes leave of a type, as they say by their search part (category=…): `app.narrowed` holds
-- JSON of type and predicate, in the SQL/JSON path language, over the resource itself. Empty for nearly all
-- callers; compared as a number, so that the planner takes it for what leaves nearly all rows.
CREATE FUNCTION "within_grant"(narrowed text, of_type text, body text) RETURNS integer
LANGUAGE sql STABLE PARALLEL SAFE AS $$
	SELECT CASE
		WHEN coalesce(narrowed, '') = '' THEN 1
		WHEN narrowed::jsonb ->> of_type IS NULL THEN 1
		-- Of a deletion nothing is kept that could be asked.
		WHEN NOT pg_input_is_valid(body, 'jsonb') THEN 0
		ELSE coalesce(jsonb_path_match(body::jsonb, (narrowed::jsonb ->> of_type)::jsonpath, '{}', true), false)::int
	END
$$;
--> statement-breakpoint
CREATE POLICY "granted_rows" ON "resources" AS RESTRICTIVE FOR SELECT TO app_service USING (
	within_grant(current_setting('app.narrowed', true), type, body) <> 0
);
--> statement-breakpoint
-- A version is seen that is granted by itself, of a resource that is granted as it stands.
CREATE FUNCTION "version_within_grant"(narrowed text, of_clinic uuid, of_type text, of_id text, body text)
RETURNS integer LANGUAGE plpgsql STABLE PARALLEL SAFE COST 1 AS $$
BEGIN
	IF narrowed::jsonb ->> of_type IS NULL THEN RETURN 1; END IF;
	IF within_grant(narrowed, of_type, body) = 0 THEN RETURN 0; END IF;
	RETURN (SELECT count(*) FROM public.resources r
		WHERE r.clinic_id = of_clinic AND r.type = of_type AND r.id = of_id);
END
$$;
--> statement-breakpoint
CREATE POLICY "granted_rows" ON "resource_versions" AS RESTRICTIVE FOR SELECT TO app_service USING (
	CASE WHEN coalesce(current_setting('app.narrowed', true), '') = '' THEN 1
		ELSE version_within_grant(current_setting('app.narrowed', true), clinic_id, type, id, body)
	END <> 0
);
