import type { LocalDate } from '#domain';
import type { InsightCounts, InsightStore, PpeUseRecord } from '#application';
import { PpeUseEntity } from '../entities/ppe-use.entity.js';
import type { Scope } from '../unit-of-work/scope.js';

export class PostgresInsightStore implements InsightStore {
  constructor(private readonly scope: Scope) {}

  async count(from: LocalDate, until: LocalDate): Promise<InsightCounts> {
    const [counted] = await this.scope.query<{ counts: Omit<InsightCounts, 'from' | 'until'> }>(COUNT, [
      this.scope.siteId,
      from,
      until,
    ]);
    if (counted === undefined) throw new Error('Counting always gives one row.');
    return { from, until, ...counted.counts };
  }

  async recordUses(uses: readonly PpeUseRecord[]): Promise<void> {
    if (uses.length === 0) return;
    await this.scope.manager
      .createQueryBuilder()
      .insert()
      .into(PpeUseEntity)
      .values(uses.map((use) => ({ siteId: this.scope.siteId, ...use })))
      // A day's number is stated, not added to: stating it again changes nothing.
      .orUpdate(['uses'], ['site_id', 'unit_id', 'local_date', 'ensemble_id'])
      .updateEntity(false)
      .execute();
  }
}

/** Near misses are counted apart; an event counts once, however many people it touched. Both dates are inclusive. */
const COUNT = `
  with happened as materialized (
    select incident_id, event_id, unit_id, kind, stage, step, occurred_on
    from incident where site_id = $1 and occurred_on between $2::date and $3::date
  ),
  incidents as (select * from happened where kind <> 'near-miss'),
  used as materialized (
    select unit_id, local_date, uses from ppe_use where site_id = $1 and local_date between $2::date and $3::date
  )
  select json_build_object(
    'events', (select count(distinct event_id) from incidents),
    'incidents', (select count(*) from incidents),
    'nearMisses', (select count(*) from happened where kind = 'near-miss'),
    'uses', (select coalesce(sum(uses), 0) from used),
    'byLayer', (
      select coalesce(json_agg(json_build_object('layer', layer, 'partial', partial, 'total', total) order by layer), '[]')
      from (
        select b.layer, count(*) filter (where b.extent = 'partial') as partial,
          count(*) filter (where b.extent = 'total') as total
        from incident_breach b where b.site_id = $1 and b.incident_id in (select incident_id from incidents)
        group by b.layer
      ) layers),
    'byStage', (
      select coalesce(json_agg(json_build_object('stage', stage, 'count', n) order by stage), '[]')
      from (select stage, count(*) as n from incidents group by stage) stages),
    'byStep', (
      select coalesce(json_agg(json_build_object('step', step, 'count', n) order by step), '[]')
      from (select step, count(*) as n from incidents where step is not null group by step) steps),
    'byUnit', (
      select coalesce(json_agg(json_build_object('unitId', unit_id, 'events', events, 'uses', uses) order by unit_id), '[]')
      from (
        select unit_id, coalesce(sum(events), 0) as events, coalesce(sum(uses), 0) as uses
        from (
          select unit_id, count(distinct event_id) as events, 0 as uses from incidents group by unit_id
          union all select unit_id, 0, sum(uses) from used group by unit_id
        ) both_kinds group by unit_id
      ) units),
    'byMonth', (
      select coalesce(json_agg(json_build_object('month', month, 'events', events, 'uses', uses) order by month), '[]')
      from (
        select month, coalesce(sum(events), 0) as events, coalesce(sum(uses), 0) as uses
        from (
          select to_char(occurred_on, 'YYYY-MM') as month, count(distinct event_id) as events, 0 as uses
          from incidents group by 1
          union all select to_char(local_date, 'YYYY-MM'), 0, sum(uses) from used group by 1
        ) both_kinds group by month
      ) months)
  ) as counts`;
