import { Body, Controller, Get, Post, Query } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiTags } from '@nestjs/swagger';
import { ListReadings, RecordReading, type Actor } from '#application';
import { Allows } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { IdempotencyKey, NeedsIdempotencyKey } from '../edge/idempotency-key.js';
import { respond } from '../edge/shape.js';
import { OfPlanQuery } from '../plans/dtos/plans.query.js';
import { ReadingBody } from './dtos/reading.body.js';
import { ReadingListResponse, RecordedReadingResponse } from './dtos/reading.response.js';

@ApiTags('readings')
@Controller('readings')
export class ReadingsController {
  constructor(
    private readonly record: RecordReading,
    private readonly list: ListReadings,
  ) {}

  @Post()
  @Allows('reading.record')
  @NeedsIdempotencyKey()
  @ApiCreatedResponse({ type: RecordedReadingResponse })
  async recordReading(
    @Body() body: ReadingBody,
    @IdempotencyKey() idempotencyKey: string,
    @CurrentActor() actor: Actor,
  ): Promise<RecordedReadingResponse> {
    const { body: recorded } = await this.record.execute({ ...body, idempotencyKey }, actor);
    return respond(RecordedReadingResponse, recorded);
  }

  @Get()
  @Allows('reading.read')
  @ApiOkResponse({ type: ReadingListResponse })
  async listReadings(@Query() { planId }: OfPlanQuery, @CurrentActor() actor: Actor): Promise<ReadingListResponse> {
    return respond(ReadingListResponse, { items: await this.list.execute({ planId }, actor) });
  }
}
