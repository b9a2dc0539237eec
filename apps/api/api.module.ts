import { Module, type DynamicModule, type Provider } from '@nestjs/common';
import { APP_GUARD, DiscoveryModule } from '@nestjs/core';
import { DeclaredAccess } from './access/declared-access.js';
import { SameOriginGuard } from './access/same-origin.guard.js';
import { SessionGuard } from './access/session.guard.js';
import { AlertsController } from './alerts/alerts.controller.js';
import { AssessmentsController } from './assessments/assessments.controller.js';
import { DeterminationsController } from './determinations/determinations.controller.js';
import { DutyStatusesController } from './duty-statuses/duty-statuses.controller.js';
import { HealthController } from './health/health.controller.js';
import { IncidentsController } from './incidents/incidents.controller.js';
import { LettersController } from './letters/letters.controller.js';
import { PeopleController } from './people/people.controller.js';
import { PlansController } from './plans/plans.controller.js';
import { ReadingsController } from './readings/readings.controller.js';
import { SessionController } from './session/session.controller.js';
import { SetupController } from './setup/setup.controller.js';
import { SitesController } from './sites/sites.controller.js';
import { SourcesController } from './sources/sources.controller.js';
import { TablesController } from './tables/tables.controller.js';
import { TrendsController } from './trends/trends.controller.js';
import { USE_CASES } from './use-cases.js';

export const CONTROLLERS = [
  SetupController,
  SessionController,
  SitesController,
  IncidentsController,
  AssessmentsController,
  DeterminationsController,
  PlansController,
  ReadingsController,
  AlertsController,
  DutyStatusesController,
  SourcesController,
  LettersController,
  TrendsController,
  TablesController,
  PeopleController,
  HealthController,
];

/** Applied to every route, in this order. */
export const GUARDS: readonly Provider[] = [
  DeclaredAccess,
  { provide: APP_GUARD, useClass: SameOriginGuard },
  { provide: APP_GUARD, useClass: SessionGuard },
];

/** What the use cases stand on: adapters, and the modules that bring them. */
export interface ApiPorts {
  readonly imports?: DynamicModule['imports'];
  readonly providers: readonly Provider[];
}

@Module({})
export class ApiModule {
  static over({ imports = [], providers }: ApiPorts): DynamicModule {
    return {
      module: ApiModule,
      imports: [DiscoveryModule, ...imports],
      controllers: CONTROLLERS,
      providers: [...providers, ...USE_CASES, ...GUARDS],
    };
  }
}
