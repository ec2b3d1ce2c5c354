import {
  type DynamicModule,
  Inject,
  Injectable,
  Module,
  type OnApplicationBootstrap,
  type OnApplicationShutdown,
} from '@nestjs/common';
import { Interval, ScheduleModule } from '@nestjs/schedule';
import type { Logger } from 'pino';
import { HealthController } from './health/health.controller.js';
import { AlarmsController } from './http/alarms.controller.js';
import { AssessController } from './http/assess.controller.js';
import { OperatingMapController } from './http/operating-map.controller.js';
import type { ServiceState } from './http/service-state.js';
import { ReadingsNotUsedController } from './http/readings-not-used.controller.js';
import { WindersController } from './http/winders.controller.js';
import { LiveController } from './live/live.controller.js';
import { defaultKeeping, keepHouse } from './records/housekeeping.js';
import { storeRecords } from './records/store-records.js';
import type { Runtime } from './runtime.js';
import { serviceState } from './service-state.js';
import { COMMANDS, LIVE_HUB, LOG, MONITOR, PRESENT, RECORDS, RUNTIME, SERVICE_STATE } from './tokens.js';

/** Starts and stops the running parts with the application. */
@Injectable()
class RuntimeLifecycle implements OnApplicationBootstrap, OnApplicationShutdown {
  readonly #runtime: Runtime;

  constructor(@Inject(RUNTIME) runtime: Runtime) {
    this.#runtime = runtime;
  }

  onApplicationBootstrap(): void {
    this.#runtime.start();
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
    const { store, journal } = this.#runtime;
    await keepHouse({ store, journal, keeping: defaultKeeping, now: Date.now(), log: this.#log }).catch(
      (error: unknown) => {
        this.#log.error({ err: error }, 'housekeeping failed; it is tried again');
      },
    );
  }
}

/** The HTTP side around the running parts. */
@Module({})
export class AppModule {
  static around(runtime: Runtime, log: Logger): DynamicModule {
    return {
      module: AppModule,
      imports: [ScheduleModule.forRoot()],
      controllers: [
        WindersController,
        OperatingMapController,
        AssessController,
        AlarmsController,
        ReadingsNotUsedController,
        LiveController,
        HealthController,
      ],
      providers: [
        { provide: RUNTIME, useValue: runtime },
        { provide: LOG, useValue: log },
        { provide: PRESENT, useValue: runtime.present },
        { provide: MONITOR, useValue: () => runtime.pipeline.monitor },
        { provide: COMMANDS, useValue: runtime.pipeline },
        { provide: RECORDS, useValue: storeRecords(runtime.store) },
        { provide: LIVE_HUB, useValue: runtime.hub },
        { provide: SERVICE_STATE, useValue: serviceState(runtime, Date.now) },
        RuntimeLifecycle,
        Scheduled,
      ],
    };
  }
}
