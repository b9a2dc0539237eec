import { Inject, Module, type DynamicModule, type OnApplicationShutdown } from '@nestjs/common';
import { getDataSourceToken, TypeOrmModule } from '@nestjs/typeorm';
import type { DataSource } from 'typeorm';
import { AccountDirectory, SiteDirectory, UnitOfWork } from '#application';
import { createDataSource, type DataSourceConfig } from './data-source.js';
import { Durability } from './durability.js';
import { persistenceOver, type Persistence, type PersistenceOptions } from './persistence.js';

const PERSISTENCE = Symbol('persistence');

const part = (provide: abstract new (...parts: never[]) => object, choose: (persistence: Persistence) => object) => ({
  provide,
  inject: [PERSISTENCE],
  useFactory: choose,
});

/** The application's ports for a Nest application; the connection opens and closes with it. */
@Module({})
export class PersistenceModule implements OnApplicationShutdown {
  constructor(@Inject(PERSISTENCE) private readonly persistence: Persistence) {}

  static over(options: PersistenceOptions & DataSourceConfig): DynamicModule {
    return {
      module: PersistenceModule,
      imports: [
        TypeOrmModule.forRootAsync({
          // Whoever runs this process starts it again: that is the better retry.
          useFactory: () => ({ type: 'postgres', retryAttempts: 1 }),
          dataSourceFactory: () => createDataSource(options).initialize(),
        }),
      ],
      providers: [
        {
          provide: PERSISTENCE,
          inject: [getDataSourceToken()],
          useFactory: (source: DataSource) => persistenceOver(source, options),
        },
        part(UnitOfWork, ({ unitOfWork }) => unitOfWork),
        part(AccountDirectory, ({ accountDirectory }) => accountDirectory),
        part(SiteDirectory, ({ siteDirectory }) => siteDirectory),
        part(Durability, ({ dataSource }) => new Durability(dataSource)),
      ],
      exports: [UnitOfWork, AccountDirectory, SiteDirectory, Durability],
    };
  }

  async onApplicationShutdown(): Promise<void> {
    await this.persistence.close();
  }
}
