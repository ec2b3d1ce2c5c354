import 'reflect-metadata';
import { Controller, Get, Module, Post, Sse } from '@nestjs/common';
import { NestFactory } from '@nestjs/core';
import { describe, expect, it } from 'vitest';
import { Allows, AllowsAnybody } from './allows.js';
import { everyRouteSaysWho } from './every-route-says-who.js';

@Controller('good')
class GoodController {
  @Get()
  @Allows('view')
  look(): string {
    return '';
  }

  @Post()
  @AllowsAnybody()
  come(): string {
    return '';
  }
}

@Controller('silent')
class SilentController {
  @Get()
  @Allows('view')
  look(): string {
    return '';
  }

  @Post('change')
  change(): string {
    return this.notARoute();
  }

  @Sse('stream')
  stream(): string {
    return '';
  }

  notARoute(): string {
    return '';
  }
}

@Module({ controllers: [GoodController] })
class GoodModule {}

@Module({ imports: [GoodModule], controllers: [SilentController] })
class SilentModule {}

describe('routes of which nobody said who may ask for them', () => {
  it('do not start, and are named', async () => {
    const app = await NestFactory.create(SilentModule, { logger: false });
    expect(() => everyRouteSaysWho(app)).toThrow(
      'nobody said who may ask for SilentController.change (POST), SilentController.stream (GET)',
    );
    await app.close();
  });

  it('are not those that are annotated', async () => {
    const app = await NestFactory.create(GoodModule, { logger: false });
    expect(() => everyRouteSaysWho(app)).not.toThrow();
    await app.close();
  });
});
