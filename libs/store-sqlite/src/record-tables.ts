import {
  DummyDriver,
  type Generated,
  Kysely,
  SqliteAdapter,
  SqliteIntrospector,
  SqliteQueryCompiler,
} from 'kysely';

/** The tables that hold records, as the query builder sees them. */
export interface RecordTables {
  readonly station_state: { readonly station_key: string; readonly json: string };
  readonly alarm_transition: {
    readonly number: Generated<number>;
    readonly id: string;
    readonly at_ms: number;
    readonly alarm_key: string;
    readonly occurrence_id: string;
    readonly json: string;
  };
  readonly open_alarm: {
    readonly alarm_key: string;
    readonly occurrence_id: string;
    readonly raised_at_ms: number;
    readonly json: string;
  };
  readonly roll: {
    readonly winder_id: string;
    readonly station_id: string;
    readonly roll_id: string;
    readonly started_at_ms: number;
    readonly ended_at_ms: number | null;
    readonly json: string;
  };
  readonly reading_not_used: {
    readonly code: string;
    readonly count: number;
    readonly last_at_ms: number;
    readonly last: string;
  };
  readonly outbox: {
    readonly number: Generated<number>;
    readonly id: string;
    readonly topic: string;
    readonly payload: string;
    readonly retain: number;
    readonly qos: number;
    readonly sent_at_ms: number | null;
  };
  readonly gap: {
    readonly number: Generated<number>;
    readonly id: string;
    readonly what: string;
    readonly from_ms: number;
    readonly to_ms: number;
    readonly count: number | null;
    readonly because: string;
  };
  readonly person: {
    readonly id: string;
    readonly name: string;
    readonly name_key: string;
    readonly role: string;
    readonly password_hash: string;
    readonly pin_hash: string | null;
    readonly active: number;
    readonly created_at_ms: number;
  };
  readonly door_session: {
    readonly id_hash: string;
    readonly person_id: string;
    readonly created_at_ms: number;
    readonly last_used_at_ms: number;
  };
  readonly api_key: {
    readonly id: string;
    readonly label: string;
    readonly label_key: string;
    readonly begins_with: string;
    readonly key_hash: string;
    readonly actions: string;
    readonly created_at_ms: number;
    readonly expires_at_ms: number;
    readonly last_used_at_ms: number | null;
  };
  readonly audit: {
    readonly id: Generated<number>;
    readonly at_ms: number;
    readonly actor: string | null;
    readonly what: string;
    readonly subject: string | null;
    readonly from_address: string | null;
    readonly detail: string | null;
  };
  readonly replica_refused: {
    readonly number: Generated<number>;
    readonly replica: string;
    readonly at_ms: number;
    readonly json: string;
  };
}

/** Builds queries without running them: they are compiled and run at once on the one synchronous connection. */
export const records = new Kysely<RecordTables>({
  dialect: {
    createAdapter: () => new SqliteAdapter(),
    createDriver: () => new DummyDriver(),
    createIntrospector: (database) => new SqliteIntrospector(database),
    createQueryCompiler: () => new SqliteQueryCompiler(),
  },
});
