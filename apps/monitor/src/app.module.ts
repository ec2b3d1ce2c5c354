import {
  type DynamicModule,
  Inject,
  Injectable,
  Module,
  type BeforeApplicationShutdown,
  type OnApplicationBootstrap,
  type OnApplicationShutdown,
} from '@nestjs/common';
import { Interval, ScheduleModule } from '@nestjs/schedule';
import type { Logger } from 'pino';
import type { Door } from './door/door.js';
import { DoorModule } from './door/door.module.js';
import { HealthController } from './health/health.controller.js';
import { JournalRowsController } from './health/journal-rows.controller.js';
import { ServiceHealthController } from './health/service-health.controller.js';
import { AlarmsController } from './http/alarms.controller.js';
import { AssessController } from './http/assess.controller.js';
import { type Documents, DocumentsController } from './http/documents.controller.js';
import { GapsController } from './http/gaps.controller.js';
import { KeepingController } from './http/keeping.controller.js';
import { OperatingMapController } from './http/operating-map.controller.js';
import type { ServiceState } from './http/service-state.js';
import { ReadingsNotUsedController } from './http/readings-not-used.controller.js';
import { WindersController } from './http/winders.controller.js';
import { LiveController } from './live/live.controller.js';
import { metricSources } from './metrics/metric-sources.js';
import { MetricsController } from './metrics/metrics.controller.js';
import { serviceFamilies } from './metrics/service-families.js';
import { keepHouse } from './records/housekeeping.js';
import { ScheduledRollUps } from './records/scheduled-roll-ups.js';
import { storeRecords } from './records/store-records.js';
import type { Runtime } from './runtime.js';
import { serviceState } from './service-state.js';
import {
  COMMANDS,
  DOCUMENTS,
  HEALTH,
  KEEPING,
  METRICS,
  LIVE_HUB,
  LOG,
  MONITOR,
  PRESENT,
  RECORDS,
  ROLL_UPS,
  RUNTIME,
  SERVICE_STATE,
} from './tokens.js';

/** Starts and stops the running parts with the application. */
@Injectable()
class RuntimeLifecycle implements OnApplicationBootstrap, BeforeApplicationShutdown, OnApplicationShutdown {
  readonly #runtime: Runtime;

  constructor(@Inject(RUNTIME) runtime: Runtime) {
    this.#runtime = runtime;
  }

  onApplicationBootstrap(): void {
    this.#runtime.start();
  }

  /** Live streams never end by themselves, and the server waits for what is open. */
  beforeApplicationShutdown(): void {
    this.#runtime.hub.close();
  }

  async onApplicationShutdown(): Promise<void> {
    await this.#runtime.stop();
  }
}

/** What happens by the clock: the heartbeat of the live stream, and letting go of what is older than it needs to be. */
@Injectable()
class Scheduled {
  readonly #runtime: Runtime;
  readonly #service: ServiceState;
  readonly #log: Logger;

  constructor(
    @Inject(RUNTIME) runtime: Runtime,
    @Inject(SERVICE_STATE) service: ServiceState,
    @Inject(LOG) log: Logger,
  ) {
    this.#runtime = runtime;
    this.#service = service;
    this.#log = log;
  }

  @Interval(5000)
  heartbeat(): void {
    this.#runtime.hub.send({ type: 'service', data: this.#service.view() });
  }

  @Interval(20_000)
  async keepHouse(): Promise<void> {
    const { store, journal, keeping, knownTime } = this.#runtime;
    await keepHouse({ store, journal, keeping, now: knownTime.now(), log: this.#log }).catch(
      (error: unknown) => {
        this.#log.error({ err: error }, 'housekeeping failed; it is tried again');
      },
    );
  }
}

/** The HTTP side around the running parts. */
@Module({})
export class AppModule {
  static around(runtime: Runtime, door: Door, log: Logger): DynamicModule {
    const startedAtMs = Date.now();
    return {
      module: AppModule,
      imports: [ScheduleModule.forRoot(), DoorModule.of(door, log)],
      controllers: [
        WindersController,
        OperatingMapController,
        AssessController,
        AlarmsController,
        ReadingsNotUsedController,
        GapsController,
        KeepingController,
        LiveController,
        HealthController,
        ServiceHealthController,
        JournalRowsController,
        MetricsController,
        DocumentsController,
      ],
      providers: [
        { provide: RUNTIME, useValue: runtime },
        { provide: LOG, useValue: log },
        { provide: PRESENT, useValue: runtime.present },
        { provide: MONITOR, useValue: () => runtime.pipeline.monitor },
        { provide: COMMANDS, useValue: runtime.pipeline },
        { provide: RECORDS, useValue: storeRecords(runtime.store, runtime.remote) },
        { provide: KEEPING, useValue: runtime.describeKeeping },
        { provide: ROLL_UPS, useValue: runtime.store.rollUps },
        { provide: LIVE_HUB, useValue: runtime.hub },
        { provide: HEALTH, useValue: runtime.health },
        {
          provide: METRICS,
          useValue: () => serviceFamilies(metricSources(runtime, startedAtMs, Date.now())),
        },
        {
          provide: DOCUMENTS,
          useValue: { openApi: {}, asyncApi: runtime.describeMessages } satisfies Documents,
        },
        { provide: SERVICE_STATE, useValue: serviceState(runtime, Date.now) },
        RuntimeLifecycle,
        Scheduled,
        ScheduledRollUps,
      ],
    };
  }
}
