-- Partitioned by month of `recorded`: months are made by audit_month, by the owner. What belongs to none
-- that was made is in the default partition.
CREATE TABLE "audit_log" (
	"clinic_id" uuid NOT NULL,
	"recorded" timestamp with time zone NOT NULL,
	"writer" uuid NOT NULL,
	"sequence" bigint NOT NULL,
	"id" uuid NOT NULL,
	"record" text NOT NULL,
	"previous" "bytea" NOT NULL,
	"hash" "bytea" NOT NULL,
	CONSTRAINT "audit_log_clinic_id_recorded_writer_sequence_pk" PRIMARY KEY("clinic_id","recorded","writer","sequence")
) PARTITION BY RANGE ("recorded");
--> statement-breakpoint
CREATE TABLE "audit_log_other" PARTITION OF "audit_log" DEFAULT;
--> statement-breakpoint
CREATE TABLE "audit_writers" (
	"clinic_id" uuid NOT NULL,
	"writer" uuid NOT NULL,
	"started_at" timestamp with time zone NOT NULL,
	"projected" bigint DEFAULT 0 NOT NULL,
	CONSTRAINT "audit_writers_clinic_id_writer_pk" PRIMARY KEY("clinic_id","writer")
);
--> statement-breakpoint
CREATE INDEX "audit_log_writer" ON "audit_log" USING btree ("clinic_id","writer","sequence");
--> statement-breakpoint
CREATE FUNCTION audit_month(month date) RETURNS void LANGUAGE plpgsql AS $$
DECLARE
	first date := date_trunc('month', month)::date;
	after date := (first + interval '1 month')::date;
	name text := 'audit_log_' || to_char(first, 'YYYY_MM');
BEGIN
	IF to_regclass(name) IS NOT NULL OR EXISTS (
		SELECT FROM audit_log_other WHERE recorded >= first AND recorded < after
	) THEN RETURN; END IF;
	EXECUTE format('CREATE TABLE %I PARTITION OF audit_log FOR VALUES FROM (%L) TO (%L)', name, first, after);
	EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', name);
END $$;
--> statement-breakpoint
REVOKE ALL ON FUNCTION audit_month(date) FROM PUBLIC;
--> statement-breakpoint
ALTER TABLE "audit_log" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
-- Without a policy of their own, for nobody directly.
ALTER TABLE "audit_log_other" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_clinic_adds" ON "audit_log" FOR INSERT TO app_service WITH CHECK (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
);
--> statement-breakpoint
CREATE POLICY "own_clinic_reads" ON "audit_log" FOR SELECT TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND nullif(current_setting('app.partner', true), '') IS NULL
);
--> statement-breakpoint
GRANT SELECT, INSERT ON "audit_log" TO app_service;
--> statement-breakpoint
ALTER TABLE "audit_writers" ENABLE ROW LEVEL SECURITY;
--> statement-breakpoint
CREATE POLICY "own_clinic" ON "audit_writers" TO app_service USING (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
);
--> statement-breakpoint
GRANT SELECT, INSERT, UPDATE ("projected") ON "audit_writers" TO app_service;
