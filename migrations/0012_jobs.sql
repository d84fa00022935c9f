-- The queue of jobs, in a schema of its own. The role that works with it sees the queue and nothing else, and
-- nothing else of ours sees the queue. What follows is the construction of pg-boss 10.4.2 (schema version 24);
-- later versions of it bring the schema up to date themselves, as its owner.
DO $$ BEGIN
	CREATE ROLE app_jobs NOLOGIN NOSUPERUSER NOBYPASSRLS;
EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL;
END $$;
--> statement-breakpoint
DO $$ BEGIN
	EXECUTE format('GRANT app_jobs TO %I', current_user);
EXCEPTION WHEN unique_violation THEN NULL;
END $$;
--> statement-breakpoint
CREATE SCHEMA "jobs" AUTHORIZATION app_jobs;
--> statement-breakpoint
SET LOCAL ROLE app_jobs;
--> statement-breakpoint
CREATE TYPE jobs.job_state AS ENUM (
	'created',
	'retry',
	'active',
	'completed',
	'cancelled',
	'failed'
);
--> statement-breakpoint
CREATE TABLE jobs.version (
	version int primary key,
	maintained_on timestamp with time zone,
	cron_on timestamp with time zone,
	monitored_on timestamp with time zone
);
--> statement-breakpoint
CREATE TABLE jobs.queue (
	name text,
	policy text,
	retry_limit int,
	retry_delay int,
	retry_backoff bool,
	expire_seconds int,
	retention_minutes int,
	dead_letter text REFERENCES jobs.queue (name),
	partition_name text,
	created_on timestamp with time zone not null default now(),
	updated_on timestamp with time zone not null default now(),
	PRIMARY KEY (name)
);
--> statement-breakpoint
CREATE TABLE jobs.schedule (
	name text REFERENCES jobs.queue ON DELETE CASCADE,
	cron text not null,
	timezone text,
	data jsonb,
	options jsonb,
	created_on timestamp with time zone not null default now(),
	updated_on timestamp with time zone not null default now(),
	PRIMARY KEY (name)
);
--> statement-breakpoint
CREATE TABLE jobs.subscription (
	event text not null,
	name text not null REFERENCES jobs.queue ON DELETE CASCADE,
	created_on timestamp with time zone not null default now(),
	updated_on timestamp with time zone not null default now(),
	PRIMARY KEY(event, name)
);
--> statement-breakpoint
CREATE TABLE jobs.job (
	id uuid not null default gen_random_uuid(),
	name text not null,
	priority integer not null default(0),
	data jsonb,
	state jobs.job_state not null default('created'),
	retry_limit integer not null default(2),
	retry_count integer not null default(0),
	retry_delay integer not null default(0),
	retry_backoff boolean not null default false,
	start_after timestamp with time zone not null default now(),
	started_on timestamp with time zone,
	singleton_key text,
	singleton_on timestamp without time zone,
	expire_in interval not null default interval '15 minutes',
	created_on timestamp with time zone not null default now(),
	completed_on timestamp with time zone,
	keep_until timestamp with time zone NOT NULL default now() + interval '14 days',
	output jsonb,
	dead_letter text,
	policy text
) PARTITION BY LIST (name);
--> statement-breakpoint
ALTER TABLE jobs.job ADD PRIMARY KEY (name, id);
--> statement-breakpoint
CREATE TABLE jobs.archive (LIKE jobs.job);
--> statement-breakpoint
ALTER TABLE jobs.archive ADD PRIMARY KEY (name, id);
--> statement-breakpoint
ALTER TABLE jobs.archive ADD archived_on timestamptz NOT NULL DEFAULT now();
--> statement-breakpoint
CREATE INDEX archive_i1 ON jobs.archive(archived_on);
--> statement-breakpoint
CREATE FUNCTION jobs.create_queue(queue_name text, options json)
RETURNS VOID AS
$$
DECLARE
	table_name varchar := 'j' || encode(sha224(queue_name::bytea), 'hex');
	queue_created_on timestamptz;
BEGIN

	WITH q as (
	INSERT INTO jobs.queue (
	  name,
	  policy,
	  retry_limit,
	  retry_delay,
	  retry_backoff,
	  expire_seconds,
	  retention_minutes,
	  dead_letter,
	  partition_name
	)
	VALUES (
	  queue_name,
	  options->>'policy',
	  (options->>'retryLimit')::int,
	  (options->>'retryDelay')::int,
	  (options->>'retryBackoff')::bool,
	  (options->>'expireInSeconds')::int,
	  (options->>'retentionMinutes')::int,
	  options->>'deadLetter',
	  table_name
	)
	ON CONFLICT DO NOTHING
	RETURNING created_on
	)
	SELECT created_on into queue_created_on from q;

	IF queue_created_on IS NULL THEN
	  RETURN;
	END IF;

	EXECUTE format('CREATE TABLE jobs.%I (LIKE jobs.job INCLUDING DEFAULTS)', table_name);

	EXECUTE format('ALTER TABLE jobs.%1$I ADD PRIMARY KEY (name, id)', table_name);
	EXECUTE format('ALTER TABLE jobs.%1$I ADD CONSTRAINT q_fkey FOREIGN KEY (name) REFERENCES jobs.queue (name) ON DELETE RESTRICT DEFERRABLE INITIALLY DEFERRED', table_name);
	EXECUTE format('ALTER TABLE jobs.%1$I ADD CONSTRAINT dlq_fkey FOREIGN KEY (dead_letter) REFERENCES jobs.queue (name) ON DELETE RESTRICT DEFERRABLE INITIALLY DEFERRED', table_name);
	EXECUTE format('CREATE UNIQUE INDEX %1$s_i1 ON jobs.%1$I (name, COALESCE(singleton_key, '''')) WHERE state = ''created'' AND policy = ''short''', table_name);
	EXECUTE format('CREATE UNIQUE INDEX %1$s_i2 ON jobs.%1$I (name, COALESCE(singleton_key, '''')) WHERE state = ''active'' AND policy = ''singleton''', table_name);
	EXECUTE format('CREATE UNIQUE INDEX %1$s_i3 ON jobs.%1$I (name, state, COALESCE(singleton_key, '''')) WHERE state <= ''active'' AND policy = ''stately''', table_name);
	EXECUTE format('CREATE UNIQUE INDEX %1$s_i4 ON jobs.%1$I (name, singleton_on, COALESCE(singleton_key, '''')) WHERE state <> ''cancelled'' AND singleton_on IS NOT NULL', table_name);
	EXECUTE format('CREATE INDEX %1$s_i5 ON jobs.%1$I (name, start_after) INCLUDE (priority, created_on, id) WHERE state < ''active''', table_name);

	EXECUTE format('ALTER TABLE jobs.%I ADD CONSTRAINT cjc CHECK (name=%L)', table_name, queue_name);
	EXECUTE format('ALTER TABLE jobs.job ATTACH PARTITION jobs.%I FOR VALUES IN (%L)', table_name, queue_name);
END;
$$
LANGUAGE plpgsql;
--> statement-breakpoint
CREATE FUNCTION jobs.delete_queue(queue_name text)
RETURNS VOID AS
$$
DECLARE
	table_name varchar;
BEGIN
	WITH deleted as (
	  DELETE FROM jobs.queue
	  WHERE name = queue_name
	  RETURNING partition_name
	)
	SELECT partition_name from deleted INTO table_name;

	EXECUTE format('DROP TABLE IF EXISTS jobs.%I', table_name);
END;
$$
LANGUAGE plpgsql;
--> statement-breakpoint
INSERT INTO jobs.version(version) VALUES ('24');
--> statement-breakpoint
RESET ROLE;
