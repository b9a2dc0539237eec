import { describe, expect, it } from '@jest/globals';
import {
  DueIndex,
  type DueCheck,
  type OutboxMessage,
  type RaiseDueAlerts,
  type RaiseDueAlertsCommand,
} from '#application';
import { createLog } from '#platform';
import { SweepDue } from './sweep-due.js';

class DueInMemory extends DueIndex {
  constructor(private readonly waiting: DueCheck[]) {
    super();
  }

  override async due(limit: number): Promise<DueCheck[]> {
    return this.waiting.slice(0, limit);
  }

  take(checks: readonly DueCheck[]): void {
    for (const check of checks) this.waiting.splice(this.waiting.indexOf(check), 1);
  }

  override async leaseMessages(): Promise<(OutboxMessage & { readonly lease: string })[]> {
    return [];
  }

  override async markSent(): Promise<boolean> {
    return false;
  }

  override async markFailed(): Promise<void> {
    return undefined;
  }
}

function aCheck(siteId: string, number: number): DueCheck {
  return { siteId, planId: 'plan', checkKey: `check-${number}`, kind: 'reading', dueUntil: '2026-01-31T10:00:00Z' };
}

/** Raises everything, except at sites that fail or have nothing to raise. */
function raising(due: DueInMemory, { failing = '', idle = '' } = {}) {
  const commands: RaiseDueAlertsCommand[] = [];
  const execute = async (command: RaiseDueAlertsCommand) => {
    commands.push(command);
    if (command.siteId === failing) throw new Error('a fault');
    if (command.siteId === idle) return { raised: 0, skipped: command.checks.length };
    due.take(command.checks);
    return { raised: command.checks.length, skipped: 0 };
  };
  return { commands, useCase: { execute } as unknown as RaiseDueAlerts };
}

describe('the sweep', () => {
  it('raises everything that is due, one transaction a site and round', async () => {
    const checks = Array.from({ length: 1_200 }, (_, index) => aCheck(index % 2 ? 'site-1' : 'site-2', index));
    const due = new DueInMemory(checks);
    const { commands, useCase } = raising(due);

    expect(await new SweepDue(due, useCase, createLog('silent')).execute()).toEqual({ raised: 1_200, failed: 0 });
    for (const { siteId, checks: ofSite } of commands) {
      expect(new Set(ofSite.map((check) => check.siteId))).toEqual(new Set([siteId]));
    }
    expect(commands).toHaveLength(6);
  });

  it('goes on with the other sites when one fails', async () => {
    const due = new DueInMemory([aCheck('site-1', 1), aCheck('site-2', 2), aCheck('site-3', 3)]);
    const { useCase } = raising(due, { failing: 'site-2' });

    expect(await new SweepDue(due, useCase, createLog('silent')).execute()).toEqual({ raised: 2, failed: 1 });
    expect(await due.due(10)).toEqual([aCheck('site-2', 2)]);
  });

  it('ends although a whole batch stays due', async () => {
    const due = new DueInMemory(Array.from({ length: 600 }, (_, index) => aCheck('site-1', index)));
    const { commands, useCase } = raising(due, { idle: 'site-1' });

    expect(await new SweepDue(due, useCase, createLog('silent')).execute()).toEqual({ raised: 0, failed: 0 });
    expect(commands).toHaveLength(1);
  });
});
