import { Argon2PasswordHasher, RandomSessionTokens } from '#access';
import { LetterWriter, PasswordHasher, SessionTokens, SetupTokens, SiteDirectory, UnitOfWork } from '#application';
import { PdfLetterWriter } from '#letters';
import { Durability, PersistenceModule } from '#persistence';
import { ConfigurationError, type Config } from '#platform';
import { loadRulebook } from '#rulebook';
import type { ApiPorts } from './api.module.js';
import { bind } from './bind.js';
import { DatabaseReadiness } from './health/database-readiness.js';
import { Readiness } from './health/readiness.js';
import { RULEBOOK } from './use-cases.js';

/** The adapters that the service runs on. Refuses to load a rulebook with a defect. */
export function productionPorts({ database, masterKey }: Config, setupTokens: SetupTokens): ApiPorts {
  if (database.app === null || masterKey === null) {
    throw new ConfigurationError('DATABASE_URL', 'set for this process; `npm start` sets it for the embedded database');
  }
  return {
    imports: [
      PersistenceModule.over({
        url: database.app,
        masterKey: masterKey.toString('hex'),
        applicationName: 'innerglove-api',
      }),
    ],
    providers: [
      { provide: PasswordHasher, useClass: Argon2PasswordHasher },
      { provide: SessionTokens, useClass: RandomSessionTokens },
      { provide: SetupTokens, useValue: setupTokens },
      { provide: LetterWriter, useClass: PdfLetterWriter },
      { provide: RULEBOOK, useValue: loadRulebook() },
      bind(DatabaseReadiness, Durability, SiteDirectory, UnitOfWork),
      { provide: Readiness, useExisting: DatabaseReadiness },
    ],
  };
}
