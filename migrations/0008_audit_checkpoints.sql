CREATE TABLE "audit_checkpoints" (
	"clinic_id" uuid NOT NULL,
	"number" bigint NOT NULL,
	"taken_at" timestamp with time zone NOT NULL,
	"payload" text NOT NULL,
	"signature" text NOT NULL,
	CONSTRAINT "audit_checkpoints_clinic_id_number_pk" PRIMARY KEY("clinic_id","number")
);
--> statement-breakpoint
CREATE TABLE "audit_keys" (
	"key_id" text PRIMARY KEY NOT NULL,
	"private_jwk" text NOT NULL,
	"created_at" timestamp with time zone NOT NULL
);
--> statement-breakpoint
CREATE TABLE "audit_ranges" (
	"clinic_id" uuid NOT NULL,
	"writer" uuid NOT NULL,
	"first" bigint NOT NULL,
	"last" bigint NOT NULL,
	"number" bigint NOT NULL,
	"head" "bytea" NOT NULL,
	CONSTRAINT "audit_ranges_clinic_id_writer_last_pk" PRIMARY KEY("clinic_id","writer","last")
);

--> statement-breakpoint
ALTER TABLE "audit_checkpoints" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_clinic" ON "audit_checkpoints" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND nullif(current_setting('app.partner', true), '') IS NULL
);
--> statement-breakpoint
GRANT SELECT, INSERT ON "audit_checkpoints" TO app_service;
--> statement-breakpoint
ALTER TABLE "audit_ranges" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_clinic" ON "audit_ranges" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND nullif(current_setting('app.partner', true), '') IS NULL
);
--> statement-breakpoint
GRANT SELECT, INSERT ON "audit_ranges" TO app_service;
--> statement-breakpoint
-- For the start of the service alone: no grant, no policy.
ALTER TABLE "audit_keys" ENABLE ROW LEVEL SECURITY;
