-- The role the service works under: it owns nothing and cannot bypass a policy. Roles belong to the whole
-- server, so another database of it may have made the role already.
DO $$ BEGIN
	CREATE ROLE app_service NOLOGIN NOSUPERUSER NOBYPASSRLS;
EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL;
END $$;
--> statement-breakpoint
DO $$ BEGIN
	EXECUTE format('GRANT app_service TO %I', current_user);
EXCEPTION WHEN unique_violation THEN NULL;
END $$;
--> statement-breakpoint
CREATE TABLE "clients" (
	"clinic_id" uuid NOT NULL,
	"client_id" text NOT NULL,
	"partner_id" uuid,
	"name" text NOT NULL,
	"scope" text NOT NULL,
	"created_at" timestamp with time zone NOT NULL,
	CONSTRAINT "clients_clinic_id_client_id_pk" PRIMARY KEY("clinic_id","client_id")
);
--> statement-breakpoint
CREATE TABLE "clinics" (
	"clinic_id" uuid PRIMARY KEY NOT NULL,
	"name" text NOT NULL,
	"created_at" timestamp with time zone NOT NULL
);
--> statement-breakpoint
CREATE TABLE "idempotent_answers" (
	"clinic_id" uuid NOT NULL,
	"client_id" text NOT NULL,
	"key" text NOT NULL,
	"partner_id" uuid,
	"request_hash" text NOT NULL,
	"answer" text NOT NULL,
	"created_at" timestamp with time zone NOT NULL,
	CONSTRAINT "idempotent_answers_clinic_id_client_id_key_pk" PRIMARY KEY("clinic_id","client_id","key")
);
--> statement-breakpoint
CREATE TABLE "partners" (
	"clinic_id" uuid NOT NULL,
	"partner_id" uuid NOT NULL,
	"name" text NOT NULL,
	"created_at" timestamp with time zone NOT NULL,
	CONSTRAINT "partners_clinic_id_partner_id_pk" PRIMARY KEY("clinic_id","partner_id")
);
--> statement-breakpoint
CREATE TABLE "resource_references" (
	"clinic_id" uuid NOT NULL,
	"type" text NOT NULL,
	"id" text NOT NULL,
	"partner_id" uuid,
	"param" text NOT NULL,
	"target_type" text NOT NULL,
	"target_id" text NOT NULL,
	CONSTRAINT "resource_references_clinic_id_type_param_target_id_target_type_id_pk" PRIMARY KEY("clinic_id","type","param","target_id","target_type","id")
);
--> statement-breakpoint
CREATE TABLE "resource_strings" (
	"clinic_id" uuid NOT NULL,
	"type" text NOT NULL,
	"id" text NOT NULL,
	"partner_id" uuid,
	"param" text NOT NULL,
	"value" text NOT NULL,
	CONSTRAINT "resource_strings_clinic_id_type_param_value_id_pk" PRIMARY KEY("clinic_id","type","param","value","id")
);
--> statement-breakpoint
CREATE TABLE "resource_tokens" (
	"clinic_id" uuid NOT NULL,
	"type" text NOT NULL,
	"id" text NOT NULL,
	"partner_id" uuid,
	"param" text NOT NULL,
	"system" text NOT NULL,
	"code" text NOT NULL,
	CONSTRAINT "resource_tokens_clinic_id_type_param_code_system_id_pk" PRIMARY KEY("clinic_id","type","param","code","system","id")
);
--> statement-breakpoint
CREATE TABLE "resource_versions" (
	"clinic_id" uuid NOT NULL,
	"type" text NOT NULL,
	"id" text NOT NULL,
	"version" integer NOT NULL,
	"partner_id" uuid,
	"deleted" boolean NOT NULL,
	"body" text NOT NULL,
	"updated_at" timestamp with time zone NOT NULL,
	CONSTRAINT "resource_versions_clinic_id_type_id_version_pk" PRIMARY KEY("clinic_id","type","id","version")
);
--> statement-breakpoint
CREATE TABLE "resources" (
	"clinic_id" uuid NOT NULL,
	"type" text NOT NULL,
	"id" text NOT NULL,
	"version" integer NOT NULL,
	"partner_id" uuid,
	"deleted" boolean NOT NULL,
	"body" text NOT NULL,
	"updated_at" timestamp with time zone NOT NULL,
	"patient_id" text,
	"code_system" text,
	"code" text,
	"status" text,
	"date_start" timestamp with time zone,
	"date_end" timestamp with time zone,
	CONSTRAINT "resources_clinic_id_type_id_pk" PRIMARY KEY("clinic_id","type","id")
);
--> statement-breakpoint
CREATE TABLE "signing_keys" (
	"key_id" text PRIMARY KEY NOT NULL,
	"private_jwk" text NOT NULL,
	"created_at" timestamp with time zone NOT NULL
);
--> statement-breakpoint
CREATE INDEX "resource_references_of" ON "resource_references" USING btree ("clinic_id","id","type");--> statement-breakpoint
CREATE INDEX "resource_strings_prefix" ON "resource_strings" USING btree ("clinic_id","type","param","value" text_pattern_ops);--> statement-breakpoint
CREATE INDEX "resource_strings_of" ON "resource_strings" USING btree ("clinic_id","id","type");--> statement-breakpoint
CREATE INDEX "resource_tokens_of" ON "resource_tokens" USING btree ("clinic_id","id","type");--> statement-breakpoint
CREATE INDEX "resources_patient" ON "resources" USING btree ("clinic_id","patient_id","type","date_start");--> statement-breakpoint
CREATE INDEX "resources_patient_code" ON "resources" USING btree ("clinic_id","type","patient_id","code","date_start");--> statement-breakpoint
CREATE INDEX "resources_code" ON "resources" USING btree ("clinic_id","type","code","date_start");--> statement-breakpoint
CREATE INDEX "resources_status" ON "resources" USING btree ("clinic_id","type","status","updated_at");--> statement-breakpoint
CREATE INDEX "resources_updated" ON "resources" USING btree ("clinic_id","type","updated_at","id");
--> statement-breakpoint
-- Policies: outside a unit of work the settings are empty and no row matches. Staff see their clinic, a
-- partner its own compartment of it. FORCE holds an owner that is no superuser to the same rule.
ALTER TABLE "resources" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "resources" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "resources" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, UPDATE ON "resources" TO app_service;
--> statement-breakpoint
ALTER TABLE "resource_versions" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "resource_versions" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "resource_versions" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT ON "resource_versions" TO app_service;
--> statement-breakpoint
ALTER TABLE "resource_tokens" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "resource_tokens" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "resource_tokens" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, DELETE ON "resource_tokens" TO app_service;
--> statement-breakpoint
ALTER TABLE "resource_references" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "resource_references" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "resource_references" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, DELETE ON "resource_references" TO app_service;
--> statement-breakpoint
ALTER TABLE "resource_strings" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "resource_strings" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "resource_strings" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, DELETE ON "resource_strings" TO app_service;
--> statement-breakpoint
ALTER TABLE "idempotent_answers" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "idempotent_answers" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "idempotent_answers" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT ON "idempotent_answers" TO app_service;
--> statement-breakpoint
ALTER TABLE "clinics" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_clinic" ON "clinics" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
);
--> statement-breakpoint
GRANT SELECT ON "clinics" TO app_service;
--> statement-breakpoint
ALTER TABLE "partners" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_clinic" ON "partners" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT ON "partners" TO app_service;
--> statement-breakpoint
ALTER TABLE "clients" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_clinic" ON "clients" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT ON "clients" TO app_service;
--> statement-breakpoint
-- Signing keys are for the start of the service alone: no grant, no policy.
ALTER TABLE "signing_keys" ENABLE ROW LEVEL SECURITY;
