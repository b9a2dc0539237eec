import type { Instant } from '#domain';
import type { LetterRecord, LetterStore } from '#application';
import { LetterEntity, LetterPdfEntity } from '../entities/letter.entity.js';
import { letterPlace } from '../sealing/places.js';
import type { Scope } from '../unit-of-work/scope.js';

function toRecord({ siteId: _site, personId: _person, ...record }: LetterEntity): LetterRecord {
  return record;
}

export class PostgresLetterStore implements LetterStore {
  constructor(private readonly scope: Scope) {}

  async find(letterId: string): Promise<LetterRecord | null> {
    const entity = await this.scope.repository(LetterEntity).findOneBy({ siteId: this.scope.siteId, letterId });
    return entity === null ? null : toRecord(entity);
  }

  async listByIncident(incidentId: string): Promise<LetterRecord[]> {
    const found = await this.scope.repository(LetterEntity).find({
      where: { siteId: this.scope.siteId, incidentId },
      order: { createdAt: 'ASC', letterId: 'ASC' },
    });
    return found.map(toRecord);
  }

  async signedPdf(letterId: string): Promise<Uint8Array | null> {
    const { siteId } = this.scope;
    const entity = await this.scope.repository(LetterPdfEntity).findOneBy({ siteId, letterId });
    const key = entity === null ? null : await this.scope.findPersonKey(entity.personId);
    return entity === null || key === null ? null : key.open(entity.sealed, letterPlace(siteId, letterId));
  }

  async insert(letter: LetterRecord): Promise<void> {
    const personId = await this.scope.personOf(letter.incidentId);
    await this.scope.insert(LetterEntity, { siteId: this.scope.siteId, personId, ...letter });
  }

  async sign(letterId: string, by: string, at: Instant, pdf: Uint8Array): Promise<void> {
    const { siteId } = this.scope;
    const { personId } = await this.scope.repository(LetterEntity).findOneByOrFail({ siteId, letterId });
    await this.scope.repository(LetterEntity).update({ siteId, letterId }, { signedBy: by, signedAt: at });
    const key = await this.scope.personKey(personId);
    await this.scope.insert(LetterPdfEntity, {
      siteId,
      letterId,
      personId,
      sealed: key.seal(pdf, letterPlace(siteId, letterId)),
    });
  }
}
