import { Body, Controller, Get, HttpCode, Param, Post, Query } from '@nestjs/common';
import { ApiOkResponse, ApiTags } from '@nestjs/swagger';
import { AcknowledgeAlert, CloseAlert, ListAlerts, type Actor } from '#application';
import { Allows } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { AlertIdParam } from '../edge/id.param.js';
import { respond } from '../edge/shape.js';
import { AcknowledgementResponse, AlertListResponse, ClosedAlertResponse } from './dtos/alert.response.js';
import { AlertsQuery } from './dtos/alerts.query.js';
import { OutcomeBody } from './dtos/outcome.body.js';

@ApiTags('alerts')
@Controller('alerts')
export class AlertsController {
  constructor(
    private readonly list: ListAlerts,
    private readonly acknowledge: AcknowledgeAlert,
    private readonly close: CloseAlert,
  ) {}

  @Get()
  @Allows('alert.read')
  @ApiOkResponse({ type: AlertListResponse })
  async listAlerts(
    @Query() { open, incidentId }: AlertsQuery,
    @CurrentActor() actor: Actor,
  ): Promise<AlertListResponse> {
    const items = await this.list.execute(
      { incidentId, open: open === undefined ? undefined : open === 'true' },
      actor,
    );
    return respond(AlertListResponse, { items });
  }

  @Post(':alertId/acknowledgements')
  @HttpCode(200)
  @Allows('alert.answer')
  @ApiOkResponse({ type: AcknowledgementResponse })
  async acknowledgeAlert(
    @Param() { alertId }: AlertIdParam,
    @CurrentActor() actor: Actor,
  ): Promise<AcknowledgementResponse> {
    return respond(AcknowledgementResponse, await this.acknowledge.execute({ alertId }, actor));
  }

  @Post(':alertId/outcomes')
  @HttpCode(200)
  @Allows('alert.answer')
  @ApiOkResponse({ type: ClosedAlertResponse })
  async closeAlert(
    @Param() { alertId }: AlertIdParam,
    @Body() body: OutcomeBody,
    @CurrentActor() actor: Actor,
  ): Promise<ClosedAlertResponse> {
    return respond(ClosedAlertResponse, await this.close.execute({ ...body, alertId }, actor));
  }
}
