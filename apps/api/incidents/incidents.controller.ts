import { Body, Controller, Get, HttpCode, Param, Post, Query, Res } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { AmendIncident, ConfirmIdentity, ListIncidents, ReadIncident, ReportIncident, type Actor } from '#application';
import { Allows } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { setCreated } from '../edge/answered.js';
import { IncidentIdParam } from '../edge/id.param.js';
import { IdempotencyKey, NeedsIdempotencyKey } from '../edge/idempotency-key.js';
import { IfMatch, NeedsIfMatch, setRevision } from '../edge/if-match.js';
import { respond } from '../edge/shape.js';
import { IdentityBody } from './dtos/identity.body.js';
import { ConfirmedIdentityResponse, IncidentFileResponse, IncidentPageResponse } from './dtos/incident.response.js';
import { IncidentsQuery } from './dtos/incidents.query.js';
import { AmendmentBody, ReportBody } from './dtos/report.body.js';
import { AmendedIncidentResponse, ReportedIncidentResponse } from './dtos/reported.response.js';

@ApiTags('incidents')
@Controller('incidents')
export class IncidentsController {
  constructor(
    private readonly report: ReportIncident,
    private readonly list: ListIncidents,
    private readonly read: ReadIncident,
    private readonly amend: AmendIncident,
    private readonly confirm: ConfirmIdentity,
  ) {}

  @Post()
  @Allows('incident.report')
  @NeedsIdempotencyKey()
  @ApiCreatedResponse({ type: ReportedIncidentResponse })
  @ApiOkResponse({ type: ReportedIncidentResponse, description: 'This report was accepted before.' })
  async reportIncident(
    @Body() body: ReportBody,
    @IdempotencyKey() idempotencyKey: string,
    @CurrentActor() actor: Actor,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ReportedIncidentResponse> {
    const answer = await this.report.execute({ ...body, idempotencyKey }, actor);
    setCreated(reply, answer);
    setRevision(reply, answer.body.revision);
    return respond(ReportedIncidentResponse, answer.body);
  }

  @Get()
  @Allows('incident.read')
  @ApiOkResponse({ type: IncidentPageResponse })
  async listIncidents(@Query() query: IncidentsQuery, @CurrentActor() actor: Actor): Promise<IncidentPageResponse> {
    return respond(IncidentPageResponse, await this.list.execute(query, actor));
  }

  @Get(':incidentId')
  @Allows('incident.read')
  @ApiOkResponse({ type: IncidentFileResponse })
  async showIncident(
    @Param() { incidentId }: IncidentIdParam,
    @CurrentActor() actor: Actor,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<IncidentFileResponse> {
    const file = await this.read.execute({ incidentId }, actor);
    setRevision(reply, file.incident.revision);
    return respond(IncidentFileResponse, file);
  }

  @Post(':incidentId/amendments')
  @HttpCode(200)
  @Allows('incident.amend')
  @NeedsIfMatch()
  @ApiOkResponse({ type: AmendedIncidentResponse })
  async amendIncident(
    @Param() { incidentId }: IncidentIdParam,
    @Body() { changes, account }: AmendmentBody,
    @IfMatch() onRevision: number,
    @CurrentActor() actor: Actor,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<AmendedIncidentResponse> {
    const { account: _account, buddy, ...told } = changes;
    const amended = await this.amend.execute(
      { incidentId, onRevision, changes: told, account: account ?? _account, buddy },
      actor,
    );
    setRevision(reply, amended.revision);
    return respond(AmendedIncidentResponse, amended);
  }

  @Post(':incidentId/identity-confirmations')
  @HttpCode(200)
  @Allows('identity.confirm')
  @ApiOkResponse({ type: ConfirmedIdentityResponse })
  async confirmIdentity(
    @Param() { incidentId }: IncidentIdParam,
    @Body() body: IdentityBody,
    @CurrentActor() actor: Actor,
  ): Promise<ConfirmedIdentityResponse> {
    return respond(ConfirmedIdentityResponse, await this.confirm.execute({ ...body, incidentId }, actor));
  }
}
