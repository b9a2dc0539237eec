import type { EvidenceGrade, Source } from '../api.js';
import { GRADE_WORDS, wordsFor } from '../words.js';

/** What a statement rests on: its sources and how they were read. */
export function Evidence({ sources, grade }: { sources: readonly Source[]; grade: EvidenceGrade }) {
  return (
    <span className="evidence">
      {sources.map((source) => (
        <span key={`${source.body}${source.title}${source.section ?? ''}`} className="evidence-source">
          {source.body}, <cite>{source.title}</cite>, {source.year}
          {source.section && `, ${source.section}`}
        </span>
      ))}
      <span className="evidence-grade">{wordsFor(GRADE_WORDS, grade)}</span>
    </span>
  );
}
