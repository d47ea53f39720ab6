"""Help on the pages: a tour of three sentences each, and the glossary made from declarations."""
