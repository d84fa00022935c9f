DROP INDEX "resources_status";--> statement-breakpoint
CREATE INDEX "resources_date_end" ON "resources" USING btree ("clinic_id","type","date_end");--> statement-breakpoint
CREATE INDEX "resources_status" ON "resources" USING btree ("clinic_id","type","status","created_at","id");