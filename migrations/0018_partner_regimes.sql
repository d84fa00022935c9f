-- Which law a partner is under is said by the clinic, in the transaction that closes or opens its records.
ALTER POLICY "own_clinic" ON "partners" WITH CHECK (
	clinic_id = nullif(current_setting('app.clinic', true), '')::uuid
	AND nullif(current_setting('app.partner', true), '') IS NULL
);
--> statement-breakpoint
GRANT UPDATE ("regime", "settled_regime") ON "partners" TO app_service;
