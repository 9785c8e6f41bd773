/**
 * Cautions printed at the step where they matter. They defer to local rules and the makers' manuals.
 * Figures: UK HSE guidance (respirator factor 20), OSHA 29 CFR 1910.1048 (formaldehyde), Directive 2004/37/EC as
 * amended (hardwood dust), ISO 19085-3 (NC boring and routing machines).
 */
export const CAUTIONS = {
  dust: 'board dust may hold hardwood and formaldehyde: extraction running first, then a respirator of protection factor 20',
  limits:
    'limits to know: formaldehyde 0.75 ppm over 8 h and 2 ppm over 15 min (29 CFR 1910.1048), hardwood dust 2 mg/m3 in the EU (Directive 2004/37/EC)',
  fire: 'fine dust is combustible: after any metal strike stop and look into the collector',
  body: 'eyes and ears protected, no gloves near a turning cutter, hands out while the gantry can move',
  moves: 'the gantry moves when start is pressed: hands and head out until it stands again',
  isolate: 'isolate the machine before reaching in',
  resin: 'epoxy and its hardener sensitise skin: nitrile gloves, no solvent on skin',
  chips: 'no compressed air: take chips up with a vacuum cleaner, none may stay in ports or under the board',
  ports: 'plug the ports while the bed is being cut',
  metal: 'inserts are in the bed: never lower a cutter below the program',
  vacuum: 'if the gauge falls during the cut, stop the feed at once',
  manual:
    "the machine maker's manual, ISO 19085-3, local rules and a competent person come before this sheet",
} as const;
