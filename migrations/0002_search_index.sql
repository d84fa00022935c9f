CREATE TABLE "index_dates" (
	"clinic_id" uuid NOT NULL,
	"type" text NOT NULL,
	"id" text NOT NULL,
	"partner_id" uuid,
	"path" text NOT NULL,
	"ordinal" integer NOT NULL,
	"start" timestamp with time zone NOT NULL,
	"end" timestamp with time zone NOT NULL,
	CONSTRAINT "index_dates_clinic_id_type_id_ordinal_pk" PRIMARY KEY("clinic_id","type","id","ordinal")
);
--> statement-breakpoint
CREATE TABLE "index_pairs" (
	"clinic_id" uuid NOT NULL,
	"type" text NOT NULL,
	"id" text NOT NULL,
	"partner_id" uuid,
	"path" text NOT NULL,
	"ordinal" integer NOT NULL,
	"system" text NOT NULL,
	"code" text NOT NULL,
	"second_system" text,
	"second_code" text,
	"unit" text,
	"low" numeric,
	"high" numeric,
	"target_type" text,
	"target_id" text,
	CONSTRAINT "index_pairs_clinic_id_type_id_ordinal_pk" PRIMARY KEY("clinic_id","type","id","ordinal")
);
--> statement-breakpoint
CREATE TABLE "index_quantities" (
	"clinic_id" uuid NOT NULL,
	"type" text NOT NULL,
	"id" text NOT NULL,
	"partner_id" uuid,
	"path" text NOT NULL,
	"ordinal" integer NOT NULL,
	"low" numeric NOT NULL,
	"high" numeric NOT NULL,
	"system" text NOT NULL,
	"code" text NOT NULL,
	"unit" text NOT NULL,
	CONSTRAINT "index_quantities_clinic_id_type_id_ordinal_pk" PRIMARY KEY("clinic_id","type","id","ordinal")
);
--> statement-breakpoint
CREATE TABLE "index_references" (
	"clinic_id" uuid NOT NULL,
	"type" text NOT NULL,
	"id" text NOT NULL,
	"partner_id" uuid,
	"path" text NOT NULL,
	"ordinal" integer NOT NULL,
	"target_type" text NOT NULL,
	"target_id" text NOT NULL,
	CONSTRAINT "index_references_clinic_id_type_id_ordinal_pk" PRIMARY KEY("clinic_id","type","id","ordinal")
);
--> statement-breakpoint
CREATE TABLE "index_states" (
	"clinic_id" uuid PRIMARY KEY NOT NULL,
	"signature" text NOT NULL
);
--> statement-breakpoint
CREATE TABLE "index_strings" (
	"clinic_id" uuid NOT NULL,
	"type" text NOT NULL,
	"id" text NOT NULL,
	"partner_id" uuid,
	"path" text NOT NULL,
	"ordinal" integer NOT NULL,
	"value" text NOT NULL,
	"exact" text NOT NULL,
	CONSTRAINT "index_strings_clinic_id_type_id_ordinal_pk" PRIMARY KEY("clinic_id","type","id","ordinal")
);
--> statement-breakpoint
CREATE TABLE "index_tokens" (
	"clinic_id" uuid NOT NULL,
	"type" text NOT NULL,
	"id" text NOT NULL,
	"partner_id" uuid,
	"path" text NOT NULL,
	"ordinal" integer NOT NULL,
	"system" text NOT NULL,
	"code" text NOT NULL,
	CONSTRAINT "index_tokens_clinic_id_type_id_ordinal_pk" PRIMARY KEY("clinic_id","type","id","ordinal")
);
--> statement-breakpoint
CREATE TABLE "index_uris" (
	"clinic_id" uuid NOT NULL,
	"type" text NOT NULL,
	"id" text NOT NULL,
	"partner_id" uuid,
	"path" text NOT NULL,
	"ordinal" integer NOT NULL,
	"value" text NOT NULL,
	"version" text NOT NULL,
	CONSTRAINT "index_uris_clinic_id_type_id_ordinal_pk" PRIMARY KEY("clinic_id","type","id","ordinal")
);
--> statement-breakpoint
-- What was in them is written anew by the service when it starts (index_states).
DROP TABLE "resource_references";--> statement-breakpoint
DROP TABLE "resource_strings";--> statement-breakpoint
DROP TABLE "resource_tokens";--> statement-breakpoint
ALTER TABLE "resources" ADD COLUMN "created_at" timestamp with time zone;--> statement-breakpoint
-- No policy is for the owner of the tables, so for this one statement it is not held to them.
ALTER TABLE "resources" NO FORCE ROW LEVEL SECURITY;--> statement-breakpoint
ALTER TABLE "resource_versions" NO FORCE ROW LEVEL SECURITY;--> statement-breakpoint
UPDATE "resources" r SET "created_at" = v."updated_at" FROM "resource_versions" v
	WHERE v."clinic_id" = r."clinic_id" AND v."type" = r."type" AND v."id" = r."id" AND v."version" = 1;--> statement-breakpoint
ALTER TABLE "resources" FORCE ROW LEVEL SECURITY;--> statement-breakpoint
ALTER TABLE "resource_versions" FORCE ROW LEVEL SECURITY;--> statement-breakpoint
ALTER TABLE "resources" ALTER COLUMN "created_at" SET NOT NULL;--> statement-breakpoint
CREATE INDEX "index_dates_start" ON "index_dates" USING btree ("clinic_id","type","path","start","end");--> statement-breakpoint
CREATE INDEX "index_dates_end" ON "index_dates" USING btree ("clinic_id","type","path","end");--> statement-breakpoint
CREATE INDEX "index_pairs_code" ON "index_pairs" USING btree ("clinic_id","type","path","code","low");--> statement-breakpoint
CREATE INDEX "index_quantities_low" ON "index_quantities" USING btree ("clinic_id","type","path","low","high");--> statement-breakpoint
CREATE INDEX "index_quantities_high" ON "index_quantities" USING btree ("clinic_id","type","path","high");--> statement-breakpoint
CREATE INDEX "index_references_target" ON "index_references" USING btree ("clinic_id","target_id","target_type","type","path","id");--> statement-breakpoint
CREATE INDEX "index_strings_prefix" ON "index_strings" USING btree ("clinic_id","type","path","value" text_pattern_ops);--> statement-breakpoint
CREATE INDEX "index_tokens_code" ON "index_tokens" USING btree ("clinic_id","type","path","code","system","id");--> statement-breakpoint
CREATE INDEX "index_tokens_system" ON "index_tokens" USING btree ("clinic_id","type","path","system","id");--> statement-breakpoint
CREATE INDEX "index_uris_value" ON "index_uris" USING btree ("clinic_id","type","path","value" text_pattern_ops);--> statement-breakpoint
CREATE INDEX "resource_versions_updated" ON "resource_versions" USING btree ("clinic_id","type","updated_at","id");--> statement-breakpoint
CREATE INDEX "resource_versions_all" ON "resource_versions" USING btree ("clinic_id","updated_at","type","id");--> statement-breakpoint
CREATE INDEX "resources_created" ON "resources" USING btree ("clinic_id","type","created_at","id");
--> statement-breakpoint
ALTER TABLE "index_tokens" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "index_tokens" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "index_tokens" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, DELETE ON "index_tokens" TO app_service;
--> statement-breakpoint
ALTER TABLE "index_references" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "index_references" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "index_references" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, DELETE ON "index_references" TO app_service;
--> statement-breakpoint
ALTER TABLE "index_strings" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "index_strings" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "index_strings" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, DELETE ON "index_strings" TO app_service;
--> statement-breakpoint
ALTER TABLE "index_uris" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "index_uris" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "index_uris" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, DELETE ON "index_uris" TO app_service;
--> statement-breakpoint
ALTER TABLE "index_dates" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "index_dates" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "index_dates" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, DELETE ON "index_dates" TO app_service;
--> statement-breakpoint
ALTER TABLE "index_quantities" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "index_quantities" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "index_quantities" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, DELETE ON "index_quantities" TO app_service;
--> statement-breakpoint
ALTER TABLE "index_pairs" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
ALTER TABLE "index_pairs" FORCE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "index_pairs" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, DELETE ON "index_pairs" TO app_service;
--> statement-breakpoint
ALTER TABLE "index_states" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_clinic" ON "index_states" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND nullif(current_setting('app.partner', true), '') IS NULL
);
--> statement-breakpoint
GRANT SELECT, INSERT, UPDATE ON "index_states" TO app_service;
