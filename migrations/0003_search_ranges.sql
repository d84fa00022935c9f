DROP INDEX "index_quantities_low";--> statement-breakpoint
DROP INDEX "index_quantities_high";--> statement-breakpoint
ALTER TABLE "index_quantities" ADD COLUMN "low_near" double precision GENERATED ALWAYS AS (case when abs("low") < 1e-300 then 0::double precision else least(greatest("low", -1e300), 1e300)::double precision end) STORED;--> statement-breakpoint
ALTER TABLE "index_quantities" ADD COLUMN "high_near" double precision GENERATED ALWAYS AS (case when abs("high") < 1e-300 then 0::double precision else least(greatest("high", -1e300), 1e300)::double precision end) STORED;--> statement-breakpoint
CREATE INDEX "resources_date" ON "resources" USING btree ("clinic_id","type","date_start","date_end");--> statement-breakpoint
CREATE INDEX "index_quantities_low" ON "index_quantities" USING btree ("clinic_id","type","path","low_near","high_near");--> statement-breakpoint
CREATE INDEX "index_quantities_high" ON "index_quantities" USING btree ("clinic_id","type","path","high_near");