CREATE TABLE "exports" (
	"clinic_id" uuid NOT NULL,
	"export_id" text NOT NULL,
	"client_id" text NOT NULL,
	"partner_id" uuid,
	"request" text NOT NULL,
	"at" timestamp with time zone NOT NULL,
	"expires_at" timestamp with time zone NOT NULL,
	CONSTRAINT "exports_clinic_id_export_id_pk" PRIMARY KEY("clinic_id","export_id")
);

--> statement-breakpoint
ALTER TABLE "exports" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "exports" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, DELETE ON "exports" TO app_service;
