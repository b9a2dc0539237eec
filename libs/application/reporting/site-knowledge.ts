/** What reporting needs of a site and hardly ever changes, kept for a few seconds so that a report reads nothing. */
export class SiteKnowledge {}
