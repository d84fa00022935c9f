CREATE TABLE "closed_records" (
	"clinic_id" uuid NOT NULL,
	"partner_id" uuid NOT NULL,
	"patient_id" text NOT NULL,
	"since" timestamp with time zone NOT NULL,
	"until" timestamp with time zone,
	CONSTRAINT "closed_records_clinic_id_partner_id_patient_id_since_pk" PRIMARY KEY("clinic_id","partner_id","patient_id","since")
);
--> statement-breakpoint
ALTER TABLE "partners" ADD COLUMN "settled_regime" text;--> statement-breakpoint
ALTER TABLE "resource_versions" ADD COLUMN "patient_id" text;
--> statement-breakpoint
-- No policy is for the owner of the tables, so for this one statement it is not held to them.
ALTER TABLE "resources" NO FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "resource_versions" NO FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
UPDATE "resource_versions" v SET "patient_id" = r."patient_id" FROM "resources" r
	WHERE v."clinic_id" = r."clinic_id" AND v."type" = r."type" AND v."id" = r."id" AND r."patient_id" IS NOT NULL;
--> statement-breakpoint
ALTER TABLE "resources" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "resource_versions" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "closed_records" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "closed_records" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "closed_records" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, DELETE ON "closed_records" TO app_service;
--> statement-breakpoint
-- What is about a child whose record is closed to a partner is not there for this partner, whoever asks
-- how. The time is the service's own, the database's where none is set. Index rows need no such policy: a
-- search never answers without the row of the resource.
CREATE POLICY "open_records" ON "resources" AS RESTRICTIVE FOR SELECT TO app_service USING (
	nullif(current_setting('app.partner', true), '') IS NULL
	OR patient_id IS NULL
	OR NOT EXISTS (
		SELECT FROM closed_records c
		WHERE c.clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
			AND c.partner_id = nullif(current_setting('app.partner', true), '')::uuid
			AND c.patient_id = "resources".patient_id
			AND c.since <= coalesce(nullif(current_setting('app.now', true), '')::timestamptz, now())
			AND (c.until IS NULL OR c.until > coalesce(nullif(current_setting('app.now', true), '')::timestamptz, now()))
	)
);
--> statement-breakpoint
CREATE POLICY "open_records" ON "resource_versions" AS RESTRICTIVE FOR SELECT TO app_service USING (
	nullif(current_setting('app.partner', true), '') IS NULL
	OR patient_id IS NULL
	OR NOT EXISTS (
		SELECT FROM closed_records c
		WHERE c.clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
			AND c.partner_id = nullif(current_setting('app.partner', true), '')::uuid
			AND c.patient_id = "resource_versions".patient_id
			AND c.since <= coalesce(nullif(current_setting('app.now', true), '')::timestamptz, now())
			AND (c.until IS NULL OR c.until > coalesce(nullif(current_setting('app.now', true), '')::timestamptz, now()))
	)
);
