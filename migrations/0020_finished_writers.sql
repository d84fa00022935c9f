-- Set by the owner alone, of chains to which nothing is added any more.
ALTER TABLE "audit_writers" ADD COLUMN "finished_at" timestamp with time zone;--> statement-breakpoint
CREATE INDEX "audit_writers_unfinished" ON "audit_writers" USING btree ("clinic_id","writer") WHERE "audit_writers"."finished_at" is null;