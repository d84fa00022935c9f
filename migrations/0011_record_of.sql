ALTER TABLE "resources" ADD COLUMN "record_of" text;
--> statement-breakpoint
-- What tells where something of a child comes from belongs to the record of the child. No policy is for the
-- owner of the tables, so for this it is not held to them.
ALTER TABLE "resources" NO FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "resource_versions" NO FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "index_references" NO FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
UPDATE "resources" r SET "record_of" = (
	SELECT t."patient_id" FROM "index_references" x
		JOIN "resources" t ON t."clinic_id" = x."clinic_id" AND t."type" = x."target_type" AND t."id" = x."target_id"
	WHERE x."clinic_id" = r."clinic_id" AND x."type" = r."type" AND x."id" = r."id" AND x."path" = 'target'
		AND t."patient_id" IS NOT NULL
	LIMIT 1
) WHERE r."type" = 'Provenance' AND r."patient_id" IS NULL;
--> statement-breakpoint
UPDATE "resource_versions" v SET "patient_id" = r."record_of" FROM "resources" r
	WHERE v."clinic_id" = r."clinic_id" AND v."type" = r."type" AND v."id" = r."id" AND r."record_of" IS NOT NULL;
--> statement-breakpoint
ALTER TABLE "resources" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "resource_versions" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "index_references" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
DROP POLICY "open_records" ON "resources";
--> statement-breakpoint
CREATE POLICY "open_records" ON "resources" AS RESTRICTIVE FOR SELECT TO app_service USING (
	nullif(current_setting('app.partner', true), '') IS NULL
	OR coalesce(patient_id, record_of) IS NULL
	OR NOT EXISTS (
		SELECT FROM closed_records c
		WHERE c.clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
			AND c.partner_id = nullif(current_setting('app.partner', true), '')::uuid
			AND c.patient_id = coalesce("resources".patient_id, "resources".record_of)
			AND c.since <= coalesce(nullif(current_setting('app.now', true), '')::timestamptz, now())
			AND (c.until IS NULL OR c.until > coalesce(nullif(current_setting('app.now', true), '')::timestamptz, now()))
	)
);
