import { type DynamicModule, Inject, Injectable, Module } from '@nestjs/common';
import { APP_GUARD } from '@nestjs/core';
import { Interval } from '@nestjs/schedule';
import type { Logger } from 'pino';
import { DOOR, LOG } from '../tokens.js';
import { AuditController } from './audit.controller.js';
import type { Door } from './door.js';
import { DoorGuard } from './door-guard.js';
import { FirstAdministratorController } from './first-administrator.controller.js';
import { KeysController } from './keys.controller.js';
import { PeopleController } from './people.controller.js';
import { SessionController } from './session.controller.js';

/** Lets go of sessions that are over and of what the audit need not keep. */
@Injectable()
class DoorHousekeeping {
  readonly #door: Door;
  readonly #log: Logger;

  constructor(@Inject(DOOR) door: Door, @Inject(LOG) log: Logger) {
    this.#door = door;
    this.#log = log;
  }

  @Interval(60_000)
  keepHouse(): void {
    try {
      this.#door.keepHouse();
    } catch (error) {
      this.#log.error({ err: error }, 'housekeeping of the door failed; it is tried again');
    }
  }
}

/** The door: its guard stands before the routes of every module. */
@Module({})
export class DoorModule {
  static of(door: Door, log: Logger): DynamicModule {
    return {
      module: DoorModule,
      global: true,
      controllers: [
        SessionController,
        FirstAdministratorController,
        PeopleController,
        KeysController,
        AuditController,
      ],
      providers: [
        { provide: DOOR, useValue: door },
        { provide: LOG, useValue: log },
        { provide: APP_GUARD, useClass: DoorGuard },
        DoorHousekeeping,
      ],
      exports: [DOOR],
    };
  }
}
