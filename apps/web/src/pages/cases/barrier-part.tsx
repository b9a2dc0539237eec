import type { BarrierPicture, Ensemble, IncidentContent, Site } from '../../api.js';
import { DrawingKey, LayerDrawing, pictureInWords } from '../../layers/layer-drawing.js';
import { ROUTE_WORDS, TERNARY_WORDS, wordsFor } from '../../words.js';

/** What was left between the outside and the body: the drawing, the same in words, and the ways in. */
export function BarrierPart({
  barrier,
  ensemble,
  site,
  content,
}: {
  barrier: BarrierPicture;
  ensemble: Ensemble | undefined;
  site: Site;
  content: IncidentContent;
}) {
  // In the order of the body, gravest first; a route that these pages do not know yet is shown all the same.
  const others = Object.keys(barrier.routes).filter((route) => !(route in ROUTE_WORDS));
  const ways = [
    ...Object.entries(ROUTE_WORDS),
    ...others.map((route) => [route, wordsFor(ROUTE_WORDS, route)] as const),
  ];
  const words = pictureInWords(barrier.zones, ensemble, site);
  return (
    <section id="barrier" aria-labelledby="barrier-heading">
      <h2 id="barrier-heading">What was left of the barrier</h2>
      <div className="barrier">
        <div>
          <LayerDrawing
            zones={barrier.zones}
            marked={content.breaches.map(({ layer }) => layer)}
            label="The barrier as a drawing; the same stands in words beside it."
          />
        </div>
        <div>
          <DrawingKey />
          {barrier.reasons.length > 0 && (
            <ul>
              {barrier.reasons.map((reason) => (
                <li key={reason}>{reason}</li>
              ))}
            </ul>
          )}
          <table>
            <caption>Ways in</caption>
            <tbody>
              {ways.map(([route, words]) => (
                <tr key={route} data-reached={barrier.routes[route] ?? 'unknown'}>
                  <th scope="row">{words}</th>
                  <td>{TERNARY_WORDS[barrier.routes[route] ?? 'unknown']}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </div>
      <details>
        <summary>Zone by zone, in words</summary>
        {words.length === 0 ? (
          <p>Every layer that was worn is taken as whole.</p>
        ) : (
          <ul>
            {words.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
        )}
      </details>
    </section>
  );
}
