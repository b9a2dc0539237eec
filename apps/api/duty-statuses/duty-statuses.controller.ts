import { Controller, Get } from '@nestjs/common';
import { ApiOkResponse, ApiTags } from '@nestjs/swagger';
import { ListDutyStatuses, type Actor } from '#application';
import { Allows } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { respond } from '../edge/shape.js';
import { DutyListResponse } from './dtos/duty-status.response.js';

@ApiTags('duty-statuses')
@Controller('duty-statuses')
export class DutyStatusesController {
  constructor(private readonly list: ListDutyStatuses) {}

  @Get()
  @Allows('duty-status.read')
  @ApiOkResponse({ type: DutyListResponse })
  async listDutyStatuses(@CurrentActor() actor: Actor): Promise<DutyListResponse> {
    return respond(DutyListResponse, await this.list.execute(actor));
  }
}
