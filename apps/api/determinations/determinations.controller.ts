import { Body, Controller, Post, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Determine, type Actor } from '#application';
import { Allows } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { IdempotencyKey, NeedsIdempotencyKey } from '../edge/idempotency-key.js';
import { IfMatch, NeedsIfMatch, setRevision } from '../edge/if-match.js';
import { respond } from '../edge/shape.js';
import { DeterminationBody } from './dtos/determination.body.js';
import { DeterminedResponse } from './dtos/determination.response.js';

@ApiTags('determinations')
@Controller('determinations')
export class DeterminationsController {
  constructor(private readonly determine: Determine) {}

  @Post()
  @Allows('incident.determine')
  @NeedsIfMatch()
  @NeedsIdempotencyKey()
  @ApiCreatedResponse({ type: DeterminedResponse })
  async determineIncident(
    @Body() body: DeterminationBody,
    @IfMatch() onRevision: number,
    @IdempotencyKey() idempotencyKey: string,
    @CurrentActor() actor: Actor,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<DeterminedResponse> {
    const { body: determined } = await this.determine.execute({ ...body, onRevision, idempotencyKey }, actor);
    setRevision(reply, determined.revision);
    return respond(DeterminedResponse, determined);
  }
}
