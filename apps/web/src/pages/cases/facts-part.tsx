import type { ReactNode } from 'react';
import type { Ensemble, IncidentContent, IncidentFile, Site } from '../../api.js';
import { Between, Moment } from '../../shell/moment.js';
import { INCIDENT_KIND_WORDS, inWords, TERNARY_WORDS, wordsFor } from '../../words.js';

/** Everything that was told, as it stands now; what is not known says so. */
export function FactsPart({
  file,
  ensemble,
  site,
}: {
  file: IncidentFile;
  ensemble: Ensemble | undefined;
  site: Site;
}) {
  const { incident, tellings } = file;
  return (
    <section id="told" aria-labelledby="told-heading">
      <h2 id="told-heading">What was told</h2>
      <dl className="facts">
        {factsInWords(incident.content, ensemble, site).map(([term, value]) => (
          <div key={term}>
            <dt>{term}</dt>
            <dd>{value}</dd>
          </div>
        ))}
        <div>
          <dt>The patient’s code</dt>
          <dd>{incident.source ?? <NotKnown />}</dd>
        </div>
      </dl>
      {tellings.some(({ account, buddy }) => account || buddy) && (
        <>
          <h3>In their own words</h3>
          {tellings.map(({ revision, kind, account, buddy, at }) =>
            account || buddy ? (
              <blockquote key={revision}>
                {account && <p>{account}</p>}
                <footer className="soft">
                  {kind === 'report' ? 'Report' : 'Amendment'}, <Moment at={at} timeZone={site.timeZone} />
                  {buddy && <>; buddy: {buddy}</>}
                </footer>
              </blockquote>
            ) : null,
          )}
        </>
      )}
    </section>
  );
}

function NotKnown() {
  return <span className="not-known">not known</span>;
}

function factsInWords(
  content: IncidentContent,
  ensemble: Ensemble | undefined,
  site: Site,
): readonly (readonly [string, ReactNode])[] {
  const { form } = site;
  const layerName = (id: string) => ensemble?.layers.find((layer) => layer.id === id)?.name ?? id;
  const { seen } = content;
  const coded = (list: Site['form']['tasks'], code: string | null) =>
    code === null || code === 'unknown' || code === 'not-known' ? <NotKnown /> : inWords(list, code);
  const ternary = (value: keyof typeof TERNARY_WORDS) => (value === 'unknown' ? <NotKnown /> : TERNARY_WORDS[value]);
  return [
    ['Kind', wordsFor(INCIDENT_KIND_WORDS, content.kind)],
    [
      'Layers',
      content.breaches.length === 0 ? (
        content.kind === 'breach' ? (
          <NotKnown />
        ) : (
          'none failed'
        )
      ) : (
        <ul className="plain">
          {content.breaches.map(({ layer, extent, manner }) => (
            <li key={layer}>
              {layerName(layer)}: {inWords(form.manners, manner).toLowerCase()};{' '}
              {extent === 'unknown' ? 'how far is not known' : inWords(form.extents, extent).toLowerCase()}
            </li>
          ))}
        </ul>
      ),
    ],
    ['Steps that went wrong', content.lapses.map((code) => inWords(form.lapses, code)).join(', ') || 'none told'],
    [
      'Stage',
      <>
        {inWords(form.stages, content.stage)}
        {content.stage === 'removal' && (
          <>: {ensemble?.removal.find(({ id }) => id === content.step)?.words ?? 'step not known'}</>
        )}
      </>,
    ],
    [
      'When',
      <Between
        key="when"
        from={content.occurred.from}
        until={content.occurred.until}
        timeZone={content.occurred.timeZone}
      />,
    ],
    ['Left the patient area', <Moment key="left" at={content.leftAreaAt} timeZone={site.timeZone} />],
    [
      'Looked at and found whole',
      content.foundWhole.length === 0
        ? 'nothing, so all else is not known'
        : content.foundWhole.map(layerName).join(', '),
    ],
    ['On the outside', coded(form.fluids, content.fluid)],
    ['Skin wet', ternary(seen.skinWet)],
    ['Skin cut', ternary(seen.skinCut)],
    ['Where', seen.zones.length === 0 ? <NotKnown /> : seen.zones.map((zone) => inWords(form.zones, zone)).join(', ')],
    ['Splash in the eye', ternary(seen.eyeSplash)],
    ['Splash in mouth or nose', ternary(seen.mouthNoseSplash)],
    ['A sharp went in', ternary(seen.sharpsInjury)],
    ['Skin broken before', ternary(seen.brokenSkinBefore)],
    ['Task', coded(form.tasks, content.task)],
    [
      'Infection',
      <>
        {site.agents.find(({ code }) => code === content.agent)?.name ?? content.agent},{' '}
        {inWords(form.certainties, content.certainty).toLowerCase()}
      </>,
    ],
    [
      'First aid',
      content.firstAid.length === 0 ? (
        <NotKnown />
      ) : (
        content.firstAid.map(({ action }) => inWords(form.firstAidActions, action)).join(', ')
      ),
    ],
    ['Anyone else', ternary(content.anyoneElse)],
    ['Call back', content.callMe ? 'asked for' : 'not asked for'],
  ];
}
