-- Of what was there before nobody knows it: it stays open to whoever sees it.
ALTER TABLE "resources" ADD COLUMN "by_clinic" boolean DEFAULT false NOT NULL;--> statement-breakpoint
ALTER TABLE "resources" ALTER COLUMN "by_clinic" SET DEFAULT (coalesce(current_setting('app.author', true), '') = '');
