CREATE TABLE "subscription_events" (
	"clinic_id" uuid NOT NULL,
	"subscription_id" text NOT NULL,
	"number" integer NOT NULL,
	"partner_id" uuid,
	"type" text NOT NULL,
	"id" text NOT NULL,
	"version" integer NOT NULL,
	"at" timestamp with time zone NOT NULL,
	CONSTRAINT "subscription_events_clinic_id_subscription_id_number_pk" PRIMARY KEY("clinic_id","subscription_id","number")
);
--> statement-breakpoint
CREATE TABLE "subscription_states" (
	"clinic_id" uuid NOT NULL,
	"subscription_id" text NOT NULL,
	"partner_id" uuid,
	"client_id" text NOT NULL,
	"scope" text NOT NULL,
	"topic" text NOT NULL,
	"filters" text NOT NULL,
	"status" text NOT NULL,
	"counted_since" timestamp with time zone,
	"last_number" integer DEFAULT 0 NOT NULL,
	"settled_number" integer DEFAULT 0 NOT NULL,
	"attempts" integer DEFAULT 0 NOT NULL,
	"error" text,
	"last_sent_at" timestamp with time zone,
	"due_at" timestamp with time zone,
	"lease" text,
	"leased_until" timestamp with time zone,
	CONSTRAINT "subscription_states_clinic_id_subscription_id_pk" PRIMARY KEY("clinic_id","subscription_id")
);
--> statement-breakpoint
CREATE TABLE "watched_types" (
	"clinic_id" uuid NOT NULL,
	"type" text NOT NULL,
	CONSTRAINT "watched_types_clinic_id_type_pk" PRIMARY KEY("clinic_id","type")
);
--> statement-breakpoint
CREATE TABLE "written_versions" (
	"clinic_id" uuid NOT NULL,
	"sequence" bigint GENERATED ALWAYS AS IDENTITY (sequence name "written_versions_sequence_seq" INCREMENT BY 1 MINVALUE 1 MAXVALUE 9223372036854775807 START WITH 1 CACHE 1),
	"type" text NOT NULL,
	"id" text NOT NULL,
	"version" integer NOT NULL,
	"partner_id" uuid,
	"at" timestamp with time zone NOT NULL,
	CONSTRAINT "written_versions_clinic_id_sequence_pk" PRIMARY KEY("clinic_id","sequence")
);
--> statement-breakpoint
CREATE INDEX "subscription_states_due" ON "subscription_states" USING btree ("clinic_id","due_at");
--> statement-breakpoint
ALTER TABLE "subscription_states" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "subscription_states" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, UPDATE, DELETE ON "subscription_states" TO app_service;
--> statement-breakpoint
ALTER TABLE "subscription_events" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "subscription_events" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
-- What happened stays what it was: no update.
GRANT SELECT, INSERT, DELETE ON "subscription_events" TO app_service;
--> statement-breakpoint
ALTER TABLE "written_versions" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "written_versions" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
GRANT SELECT, INSERT, DELETE ON "written_versions" TO app_service;
--> statement-breakpoint
ALTER TABLE "watched_types" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_clinic" ON "watched_types" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
);
--> statement-breakpoint
GRANT SELECT, INSERT ON "watched_types" TO app_service;
