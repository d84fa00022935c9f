CREATE TABLE "advice_feedback" (
	"clinic_id" uuid NOT NULL,
	"client_id" text NOT NULL,
	"service" text NOT NULL,
	"card" uuid NOT NULL,
	"outcome_at" timestamp with time zone NOT NULL,
	"partner_id" uuid,
	"outcome" text NOT NULL,
	"reason_system" text,
	"reason_code" text,
	"received_at" timestamp with time zone NOT NULL,
	CONSTRAINT "advice_feedback_clinic_id_client_id_service_card_outcome_at_pk" PRIMARY KEY("clinic_id","client_id","service","card","outcome_at"),
	CONSTRAINT "advice_feedback_outcome" CHECK ("advice_feedback"."outcome" in ('accepted', 'overridden'))
);

--> statement-breakpoint
ALTER TABLE "advice_feedback" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_compartment" ON "advice_feedback" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND (nullif(current_setting('app.partner', true), '') IS NULL
		OR partner_id = nullif(current_setting('app.partner', true), '')::uuid)
);
--> statement-breakpoint
-- What was said of a card stays said.
GRANT SELECT, INSERT ON "advice_feedback" TO app_service;
