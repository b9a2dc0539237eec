import { Body, Controller, Get, HttpCode, Param, Post, Query } from '@nestjs/common';
import { ApiOkResponse, ApiTags } from '@nestjs/swagger';
import { ListPlans, ReadPlan, ReleasePlan, type Actor } from '#application';
import { Allows } from '../access/allows.js';
import { CurrentActor } from '../access/current-actor.js';
import { PlanIdParam } from '../edge/id.param.js';
import { IdempotencyKey, NeedsIdempotencyKey } from '../edge/idempotency-key.js';
import { respond } from '../edge/shape.js';
import { PlanListResponse, PlansQuery } from './dtos/plans.query.js';
import { PlanResponse } from './dtos/plan.response.js';
import { ReleaseBody, ReleasedPlanResponse } from './dtos/release.body.js';

@ApiTags('plans')
@Controller('plans')
export class PlansController {
  constructor(
    private readonly list: ListPlans,
    private readonly read: ReadPlan,
    private readonly release: ReleasePlan,
  ) {}

  @Get()
  @Allows('plan.read')
  @ApiOkResponse({ type: PlanListResponse })
  async listPlans(@Query() query: PlansQuery, @CurrentActor() actor: Actor): Promise<PlanListResponse> {
    return respond(PlanListResponse, { items: await this.list.execute(query, actor) });
  }

  @Get(':planId')
  @Allows('plan.read')
  @ApiOkResponse({ type: PlanResponse })
  async showPlan(@Param() { planId }: PlanIdParam, @CurrentActor() actor: Actor): Promise<PlanResponse> {
    return respond(PlanResponse, await this.read.execute({ planId }, actor));
  }

  @Post(':planId/release')
  @HttpCode(200)
  @Allows('plan.release')
  @NeedsIdempotencyKey()
  @ApiOkResponse({ type: ReleasedPlanResponse })
  async releasePlan(
    @Param() { planId }: PlanIdParam,
    @Body() body: ReleaseBody,
    @IdempotencyKey() idempotencyKey: string,
    @CurrentActor() actor: Actor,
  ): Promise<ReleasedPlanResponse> {
    const { body: released } = await this.release.execute({ ...body, planId, idempotencyKey }, actor);
    return respond(ReleasedPlanResponse, released);
  }
}
