import { createHash } from 'node:crypto';
import canonicalize from 'canonicalize';
import { LetterWriter, type ReferralLetter } from '#application';
import { referralDocument } from './referral.js';
import { writeTaggedPdf } from './tagged-pdf.js';
import { widthOf } from './type-setting.js';

/** Letters as tagged PDF, in the fonts that come with the service. */
export class PdfLetterWriter extends LetterWriter {
  override contentHash({ signature: _signature, ...content }: ReferralLetter): string {
    return createHash('sha256')
      .update(canonicalize(wellFormed(content)) ?? '', 'utf8')
      .digest('hex');
  }

  override write(letter: ReferralLetter): Promise<Uint8Array> {
    const measure = (text: string, size: number, weight: 'regular' | 'bold') => widthOf(text, { size, weight });
    return writeTaggedPdf(referralDocument(letter, this.contentHash(letter), measure));
  }
}

/** RFC 8785 has no form for half of a broken character; a letter shows the replacement character, so that is hashed. */
function wellFormed(value: unknown): unknown {
  if (typeof value === 'string') return value.toWellFormed();
  if (Array.isArray(value)) return value.map(wellFormed);
  if (value && typeof value === 'object')
    return Object.fromEntries(Object.entries(value).map(([key, item]) => [key.toWellFormed(), wellFormed(item)]));
  return value;
}
