-- What happens while an endpoint shakes hands counts too: a subscription counts from when it was asked for.
UPDATE "subscription_states" SET "counted_since" = now() WHERE "counted_since" IS NULL;--> statement-breakpoint
ALTER TABLE "subscription_states" ALTER COLUMN "counted_since" SET NOT NULL;
