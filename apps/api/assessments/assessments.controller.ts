import { Controller, Get, Query } from '@nestjs/common';
import { ApiOkResponse, ApiTags } from '@nestjs/swagger';
import { ReadIncident, type Actor } from '#application';
import { Allows } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { OfIncidentQuery } from '../edge/id.param.js';
import { respond } from '../edge/shape.js';
import { AssessmentListResponse } from './dtos/assessment.response.js';

@ApiTags('assessments')
@Controller('assessments')
export class AssessmentsController {
  constructor(private readonly read: ReadIncident) {}

  @Get()
  @Allows('incident.read')
  @ApiOkResponse({ type: AssessmentListResponse })
  async listAssessments(
    @Query() { incidentId }: OfIncidentQuery,
    @CurrentActor() actor: Actor,
  ): Promise<AssessmentListResponse> {
    const { assessments } = await this.read.execute({ incidentId }, actor);
    return respond(AssessmentListResponse, { items: assessments });
  }
}
