-- The law that a partner's content is under. For partners registered before, nobody has said: they are held
-- to every law until the clinic says which (npm run partner), since what has been disclosed cannot be taken
-- back. The policy and the grant of the table hold for its new column.
ALTER TABLE "partners" ADD COLUMN "regime" text DEFAULT 'unknown' NOT NULL;--> statement-breakpoint
ALTER TABLE "partners" ADD CONSTRAINT "partners_regime" CHECK ("partners"."regime" in ('part-c', 'ferpa', 'hipaa', 'unknown'));--> statement-breakpoint
-- The invented practice of the demo sends for treatment under HIPAA.
UPDATE "partners" SET "regime" = 'hipaa' WHERE "clinic_id" = '0e7a4c1e-5f0b-4c6e-9b1d-6a3f2c9d8e01' AND "partner_id" = '7b2d9f64-3a1c-4e58-8d70-1f5e6c2b9a02';
