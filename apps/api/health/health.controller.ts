import { Controller, Get, Res } from '@nestjs/common';
import { ApiOkResponse, ApiServiceUnavailableResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { OpenToAll } from '../access/allows.js';
import { ChoiceField, FlagField, MapField, TextListField } from '../edge/fields.js';
import { respond } from '../edge/shape.js';
import { Readiness } from './readiness.js';

export class LivenessResponse {
  @ChoiceField(['live'])
  readonly status!: 'live';
}

export class ReadinessResponse {
  @ChoiceField(['ready', 'not-ready'])
  readonly status!: 'ready' | 'not-ready';

  @FlagField()
  readonly database!: boolean;

  @MapField({ type: 'string' }, { description: 'The database settings that "acknowledged" rests on.' })
  readonly durability!: Readonly<Record<string, string>>;

  @TextListField({ description: 'Settings under which an acknowledged report could be lost.' })
  readonly warnings!: readonly string[];
}

@ApiTags('health')
@Controller('health')
export class HealthController {
  constructor(private readonly readiness: Readiness) {}

  @Get('live')
  @OpenToAll('A supervisor asks whether the process answers; it says nothing else.')
  @ApiOkResponse({ type: LivenessResponse })
  showLiveness(): LivenessResponse {
    return { status: 'live' };
  }

  @Get('ready')
  @OpenToAll('A supervisor asks whether to send requests here; it names settings, no data.')
  @ApiOkResponse({ type: ReadinessResponse })
  @ApiServiceUnavailableResponse({ type: ReadinessResponse })
  async showReadiness(@Res({ passthrough: true }) reply: FastifyReply): Promise<ReadinessResponse> {
    const { database, durability, warnings } = await this.readiness.report();
    if (!database) void reply.status(503);
    return respond(ReadinessResponse, { status: database ? 'ready' : 'not-ready', database, durability, warnings });
  }
}
