/*
 * mdr_records_out.h - records of the mill as members of a JSON document; the same words as in
 * the CSV tables. Layer: wire.
 */
#ifndef MDR_RECORDS_OUT_H
#define MDR_RECORDS_OUT_H

#include "core/plan/mdr_records.h"
#include "wire/mdr_json.h"

void mdr_wire_put_machine(mdr_json *j, const char *key, const mdr_machine *machine);
void mdr_wire_put_article(mdr_json *j, const char *key, const mdr_article *article);
/* With its swatch for the screen. */
void mdr_wire_put_shade(mdr_json *j, const char *key, const mdr_shade *shade);
void mdr_wire_put_site(mdr_json *j, const char *key, const mdr_site *site);

#endif
