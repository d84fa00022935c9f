CREATE TABLE "used_assertions" (
	"clinic_id" uuid NOT NULL,
	"client_id" text NOT NULL,
	"jti" text NOT NULL,
	"expires_at" timestamp with time zone NOT NULL,
	CONSTRAINT "used_assertions_clinic_id_client_id_jti_pk" PRIMARY KEY("clinic_id","client_id","jti")
);
--> statement-breakpoint
ALTER TABLE "clients" ADD COLUMN "jwks" text;--> statement-breakpoint
ALTER TABLE "clients" ADD COLUMN "jwks_url" text;--> statement-breakpoint
ALTER TABLE "clients" ADD COLUMN "revoked_at" timestamp with time zone;--> statement-breakpoint
ALTER TABLE "signing_keys" ADD COLUMN "retired_at" timestamp with time zone;--> statement-breakpoint
ALTER TABLE "clients" ADD CONSTRAINT "clients_keys" CHECK ("clients"."jwks" is null or "clients"."jwks_url" is null);
--> statement-breakpoint
ALTER TABLE "used_assertions" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_clinic" ON "used_assertions" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
);
--> statement-breakpoint
GRANT SELECT, INSERT, DELETE ON "used_assertions" TO app_service;
--> statement-breakpoint
-- Clients are registered and revoked by the clinic, also a partner's; who one is stays as it is.
ALTER POLICY "own_clinic" ON "clients" WITH CHECK (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND nullif(current_setting('app.partner', true), '') IS NULL
);
--> statement-breakpoint
GRANT INSERT, UPDATE ("jwks", "jwks_url", "revoked_at") ON "clients" TO app_service;
