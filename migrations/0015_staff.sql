CREATE TABLE "staff_accounts" (
	"clinic_id" uuid NOT NULL,
	"client_id" text NOT NULL,
	"login" text NOT NULL,
	"password" text NOT NULL,
	"failures" integer DEFAULT 0 NOT NULL,
	"locked_until" timestamp with time zone,
	"created_at" timestamp with time zone NOT NULL,
	CONSTRAINT "staff_accounts_clinic_id_client_id_pk" PRIMARY KEY("clinic_id","client_id"),
	CONSTRAINT "staff_accounts_login" UNIQUE("clinic_id","login")
);
--> statement-breakpoint
CREATE TABLE "staff_sessions" (
	"clinic_id" uuid NOT NULL,
	"session" "bytea" NOT NULL,
	"client_id" text NOT NULL,
	"started_at" timestamp with time zone NOT NULL,
	"seen_at" timestamp with time zone NOT NULL,
	CONSTRAINT "staff_sessions_clinic_id_session_pk" PRIMARY KEY("clinic_id","session")
);
--> statement-breakpoint
ALTER TABLE "staff_accounts" ADD CONSTRAINT "staff_accounts_clinic_id_client_id_clients_clinic_id_client_id_fk" FOREIGN KEY ("clinic_id","client_id") REFERENCES "public"."clients"("clinic_id","client_id") ON DELETE no action ON UPDATE no action;--> statement-breakpoint
ALTER TABLE "staff_sessions" ADD CONSTRAINT "staff_sessions_clinic_id_client_id_staff_accounts_clinic_id_client_id_fk" FOREIGN KEY ("clinic_id","client_id") REFERENCES "public"."staff_accounts"("clinic_id","client_id") ON DELETE cascade ON UPDATE no action;--> statement-breakpoint
CREATE INDEX "staff_sessions_client" ON "staff_sessions" USING btree ("clinic_id","client_id");--> statement-breakpoint
ALTER TABLE "staff_accounts" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
-- Who signs in names no clinic, so accounts are looked for by the owner; what follows is done in the clinic.
CREATE POLICY "own_clinic" ON "staff_accounts" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND nullif(current_setting('app.partner', true), '') IS NULL
);--> statement-breakpoint
GRANT SELECT ("clinic_id", "client_id"), UPDATE ("failures", "locked_until") ON "staff_accounts" TO app_service;--> statement-breakpoint
ALTER TABLE "staff_sessions" ENABLE ROW LEVEL SECURITY;--> statement-breakpoint
CREATE POLICY "own_clinic" ON "staff_sessions" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND nullif(current_setting('app.partner', true), '') IS NULL
);--> statement-breakpoint
GRANT SELECT, INSERT, UPDATE, DELETE ON "staff_sessions" TO app_service;
